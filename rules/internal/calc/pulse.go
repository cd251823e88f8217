package calc

import "math"

// A resistor, or another part that is rated for a pulse and continuously, as a
// store of heat that loses it with one time constant: the pulse over the power.
// Source of the three: thermal replica of first order, the form of IEC 60255-149.

// PulseHeat is the heat in J that a power in W leaves in such a part after a time
// in s from cold.
func PulseHeat(powerW, tauS, s float64) Line {
	return line(-powerW*tauS*math.Expm1(-s/tauS), "J", "P tau_R (1 - exp(-t / tau_R))", "$1 * $2 * (1 - exp(-$3 / $2))", powerW, tauS, s)
}

// HeatKept is the share of its heat that such a part keeps from one to the next of
// a number of pulses in a minute.
func HeatKept(pulses, tauS float64) Line {
	return line(math.Exp(-(60/pulses)/tauS), "", "exp(-T / tau_R), T = 60 s / N", "exp(-60 / $1 / $2)", pulses, tauS)
}

// RepeatedHeat is the heat in J in such a part after the last of a number of pulses
// of joule each, of which it keeps a share from one to the next.
func RepeatedHeat(joule, kept, pulses float64) Line {
	if kept == 1 {
		return line(joule*pulses, "J", "E N", "$1 * $2", joule, pulses)
	}
	return line(joule*((1-math.Pow(kept, pulses))/(1-kept)), "J", "E (1 - q^N) / (1 - q)", "$1 * (1 - $2^$3) / (1 - $2)", joule, kept, pulses)
}
