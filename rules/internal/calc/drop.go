package calc

// Drop is a voltage drop.
type Drop struct {
	V       float64
	Percent float64 // of the network's nominal voltage
	LossW   float64
}

// VoltageDrop is the drop of a current through a resistance, out and back, of a
// network's nominal voltage. Source: circuit theory.
func VoltageDrop(currentA, loopOhm, nominalV float64) (Drop, error) {
	if err := firstError(
		notNegative(quantity{"current", currentA, "A"}, quantity{"loop resistance", loopOhm, "Ohm"}),
		positive(quantity{"nominal voltage", nominalV, "V"}),
	); err != nil {
		return Drop{}, err
	}
	v := currentA * loopOhm
	return Drop{V: v, Percent: 100 * v / nominalV, LossW: currentA * v}, nil
}

// circularMilOhm is the K of the circular-mil form, in Ohm circular mil/ft.
const circularMilOhm = 10.75

// DropCircularMils is the least conductor area in circular mils for a permitted
// drop: K I L/E with K = 10.75 and L the length out and back in feet, about
// copper at 29 C. Source: ABYC E-11.
func DropCircularMils(currentA, loopFt, dropV float64) (float64, error) {
	if err := firstError(
		notNegative(quantity{"current", currentA, "A"}, quantity{"loop length", loopFt, "ft"}),
		positive(quantity{"permitted drop", dropV, "V"}),
	); err != nil {
		return 0, err
	}
	return circularMilOhm * currentA * loopFt / dropV, nil
}

// DropArea is the least area in mm2 of copper for a permitted drop over a loop,
// at a temperature: rho (1 + alpha (T - 20)) L I/V. A stranded size needs its
// own resistance checked. Source: circuit theory; IEC 60028.
func DropArea(currentA, loopM, dropV, tempC float64) (float64, error) {
	if err := firstError(
		notNegative(quantity{"current", currentA, "A"}, quantity{"loop length", loopM, "m"}),
		positive(quantity{"permitted drop", dropV, "V"}),
		within(quantity{"conductor temperature", tempC, "C"}, -100, 1000),
	); err != nil {
		return 0, err
	}
	return CopperResistivity20 * CopperFactor(tempC) * loopM * currentA / dropV, nil
}
