package calc

import "math"

// CoilTemperature is the temperature in C of a coil: ambient plus its rise at
// nominal voltage, scaled with the square of the voltage. Source: relay
// application notes; losses proportional to V2/R.
func CoilTemperature(ambientC, riseK, coilV, nominalV float64) (Line, error) {
	if err := firstError(
		notNegative(quantity{"temperature rise of the coil", riseK, "K"}, quantity{"coil voltage", coilV, "V"}),
		positive(quantity{"nominal coil voltage", nominalV, "V"}),
		within(quantity{"ambient temperature", ambientC, "C"}, -200, 1000),
	); err != nil {
		return Line{}, err
	}
	ratio := coilV / nominalV
	return line(ambientC+riseK*ratio*ratio, "C", "T_a + dT_n (V_run / V_n)^2", "$1 + $2 * ($3 / $4)^2", ambientC, riseK, coilV, nominalV), nil
}

// CoilMaxVoltage is the highest voltage in V that a coil bears for ever in an
// ambient, from the one stated for another and the temperature limit of its
// winding: V0 sqrt((Tlim - Ta)/(Tlim - T0)). At the limit the resistance is the
// same whatever the ambient, so V2 goes with the rise that is left. It is 0 in an
// ambient at or above the limit. Source: heat balance of the coil; class limits
// of IEC 60085 (class B: 130 C).
func CoilMaxVoltage(statedV, statedC, limitC, ambientC float64) (Line, error) {
	if err := firstError(
		positive(quantity{"highest coil voltage", statedV, "V"}),
		within(quantity{"ambient temperature", ambientC, "C"}, -200, 1000),
	); err != nil {
		return Line{}, err
	}
	if !finite(limitC) || limitC <= max(20, statedC) {
		return Line{}, quantity{"temperature limit of the winding", limitC, "C"}.fault("must be above 20 C and above what the voltage is stated for")
	}
	if ambientC >= limitC {
		return line(0, "V", "0 when T_a >= T_lim", ""), nil
	}
	at20 := func(c float64) float64 { return math.Sqrt((limitC - c) / (limitC - 20)) }
	return line(statedV*at20(ambientC)/at20(statedC), "V", "V_max0 sqrt((T_lim - T_a) / (T_lim - T_stated))",
		"$1 * sqrt(($2 - $3) / ($2 - $4))", statedV, limitC, ambientC, statedC), nil
}
