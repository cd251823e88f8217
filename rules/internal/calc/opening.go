package calc

// SurgeRate is how fast a current in A that has nowhere else to go raises the voltage
// of capacitors, in V/ms: I/C. Source: circuit theory.
func SurgeRate(currentA, capacitanceUF float64) (Line, error) {
	if err := positive(quantity{"capacitance", capacitanceUF, "uF"}); err != nil {
		return Line{}, err
	}
	return line(1000*currentA/capacitanceUF, "V/ms", "I / C", "1000 * $1 / $2", currentA, capacitanceUF), nil
}

// SurgeTime is how long that takes from one voltage in V to another, in ms; 0 where
// there is nothing to rise to. Source: circuit theory.
func SurgeTime(rate Line, fromV, toV float64) Line {
	if toV <= fromV {
		return line(0, "ms", "", "0")
	}
	return line((toV-fromV)/rate.Value, "ms", "(V_lim - V_0) / (I / C)", "($1 - $2) / $3", toV, fromV, rate.Value)
}

// SurgePeak is the voltage in V to which it has risen from a voltage a time in us
// later. Source: circuit theory.
func SurgePeak(rate Line, fromV, us float64) Line {
	return line(fromV+rate.Value*us/1000, "V", "V_0 + (I / C) t", "$1 + $2 * $3 / 1000", fromV, rate.Value, us)
}
