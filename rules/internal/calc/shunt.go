package calc

// ShuntResistance is the resistance in Ohm of a shunt from its rated current
// and drop. Source: IEC 60051 (definition of the rating).
func ShuntResistance(ratedA, dropMV float64) (float64, error) {
	if err := positive(quantity{"rated current", ratedA, "A"}, quantity{"drop at rated current", dropMV, "mV"}); err != nil {
		return 0, err
	}
	return dropMV / 1000 / ratedA, nil
}

// MeterReading is what a meter made for meterA at meterMV shows of a current
// through a shunt of ratedA at dropMV. Source: circuit theory.
func MeterReading(ratedA, dropMV, meterA, meterMV, currentA float64) (Line, error) {
	r, err := ShuntResistance(ratedA, dropMV)
	if err := firstError(err, positive(quantity{"full scale", meterA, "A"}, quantity{"drop at full scale", meterMV, "mV"})); err != nil {
		return Line{}, err
	}
	shown := currentA * r * 1000 / meterMV * meterA
	if currentA == ratedA {
		return line(shown, "A", "I_m U_s / U_m", "$1 * $2 / $3", meterA, dropMV, meterMV), nil
	}
	return line(shown, "A", "I_m U_s / U_m I / I_s", "$1 * $2 / $3 * $4 / $5", meterA, dropMV, meterMV, currentA, ratedA), nil
}
