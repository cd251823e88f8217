package calc

// BasicTestVoltage is the r.m.s. voltage in V AC that basic insulation between a
// circuit of a working voltage in V above 60 V DC and another withstands for a
// minute: a figure of a data sheet such as "isolation 1500 V" is one of these and no
// working voltage. Source: form of ISO 6469-3 and IEC 60664-1, from memory.
func BasicTestVoltage(workingV float64) (Line, error) {
	if err := within(quantity{"working voltage", workingV, "V"}, 0, 1500); err != nil {
		return Line{}, err
	}
	return line(2*workingV+1000, "V", "2 U + 1000 V", "2 * $1 + 1000", workingV), nil
}
