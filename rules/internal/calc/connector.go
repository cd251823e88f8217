package calc

import (
	"fmt"
	"math"
)

// ContactAt is the current in A that a contact of a connector carries in air of ambientC,
// where its own heat may take it to maxC and its rating holds at ratedC: the heat goes as
// I^2, so that I = I_r sqrt((T_max - T_a) / (T_max - T_r)), and never above its rating.
// Source: steady heat balance with conductance that does not change.
func ContactAt(ratedA, maxC, ratedC, ambientC float64) (Line, error) {
	if err := positive(quantity{"rated current", ratedA, "A"}); err != nil {
		return Line{}, err
	}
	switch {
	case ratedC >= maxC:
		return Line{}, fmt.Errorf("rated at %g C, which is not below its limit of %g C", ratedC, maxC)
	case ambientC >= maxC:
		return line(0, "A", "0, as T_a >= T_max", "0 * $1", ratedA), nil
	case ambientC <= ratedC:
		return line(ratedA, "A", "I_r, as T_a <= T_r", "$1", ratedA), nil
	}
	return line(ratedA*math.Sqrt((maxC-ambientC)/(maxC-ratedC)), "A", "I_r sqrt((T_max - T_a) / (T_max - T_r))",
		"$1 * sqrt(($2 - $4) / ($2 - $3))", ratedA, maxC, ratedC, ambientC), nil
}

// MicroOhm is a resistance in uOhm, in mOhm.
func MicroOhm(microOhm float64) Line { return line(microOhm/1000, "mOhm", "", "$1 / 1000", microOhm) }

// Speeds in m/s at which a hand parts a connector, and pushes one together. Source:
// common practice; a jerk is faster.
const (
	PullSpeed = 0.5
	PushSpeed = 0.1
)

// LeadTime is the time in ms by which a contact parts, or mates, before others that it
// leads by some mm at a speed in m/s.
func LeadTime(leadMM, speed float64) (Line, error) {
	if err := positive(quantity{"lead", leadMM, "mm"}, quantity{"speed", speed, "m/s"}); err != nil {
		return Line{}, err
	}
	return line(leadMM/speed, "ms", "s / v", "$1 / $2", leadMM, speed), nil
}

// LeftAfter is the voltage in V that capacitors still lack a time after a resistor has
// begun to charge them: V exp(-t/(R C)). Source: circuit theory.
func LeftAfter(volt, s, ohm, farad float64) (Line, error) {
	if err := firstError(positive(quantity{"voltage", volt, "V"}, quantity{"resistance", ohm, "Ohm"}, quantity{"capacitance", farad, "F"}),
		notNegative(quantity{"time", s, "s"})); err != nil {
		return Line{}, err
	}
	return line(volt*math.Exp(-s/(ohm*farad)), "V", "V exp(-t/(R C))", "$1 * exp(-$2 / ($3 * $4))", volt, s, ohm, farad), nil
}

// FallTime is the time in s that capacitors take to fall from a voltage to another
// through a resistor: R C ln(V/V_end), 0 where they are not above that. Source: circuit theory.
func FallTime(volt, endV, ohm, farad float64) (Line, error) {
	if err := positive(quantity{"voltage", volt, "V"}, quantity{"end", endV, "V"}, quantity{"resistance", ohm, "Ohm"}, quantity{"capacitance", farad, "F"}); err != nil {
		return Line{}, err
	}
	if volt <= endV {
		return line(0, "s", "0, as V <= V_end", "0 * $1", volt), nil
	}
	return line(ohm*farad*math.Log(volt/endV), "s", "R C ln(V / V_end)", "$1 * $2 * ln($3 / $4)", ohm, farad, volt, endV), nil
}

// StoredEnergy is the energy in J of capacitors at a voltage.
func StoredEnergy(volt, farad float64) Line {
	return line(farad*volt*volt/2, "J", "C V^2 / 2", "$1 * $2^2 / 2", farad, volt)
}

// Release times in ms of a contactor from the end of its supply to open contacts: with
// a suppression that clamps at some voltage, and with a plain diode. Source: common
// practice, the upper end of 3 to 12 ms and of 30 to 100 ms.
const (
	ClampedReleaseMS = 12
	DiodeReleaseMS   = 100
)

// Cut is what a switch of transistors meets that opens on a short circuit.
type Cut struct {
	AmperesPerS, A, J float64

	volt, ohm, henry, s float64
}

// CutShort is the current in A at which a switch opens that takes s seconds to see the
// short circuit, and the energy 1/2 L I^2 of the loop then, the least that goes into its
// clamp: I = V/R (1 - exp(-t R/L)). Source: circuit theory, series RL circuit.
func CutShort(volt, ohm, henry, s float64) (Cut, error) {
	if err := positive(quantity{"voltage", volt, "V"}, quantity{"resistance", ohm, "Ohm"}, quantity{"inductance", henry, "H"}, quantity{"time", s, "s"}); err != nil {
		return Cut{}, err
	}
	i := volt / ohm * -math.Expm1(-s*ohm/henry)
	return Cut{AmperesPerS: volt / henry, A: i, J: henry * i * i / 2, volt: volt, ohm: ohm, henry: henry, s: s}, nil
}

// Clamped is what a switch takes that opens on a current and holds its voltage until
// nothing flows.
type Clamped struct {
	X float64 // how far the resistance of the loop helps the clamp, at first
	J float64

	cut    Cut
	breakV float64
}

// Clamp is the energy in J that goes into a switch which opens on a short circuit and clamps
// at a voltage above that of the battery. The battery goes on feeding, L di/dt = V - V_br - R i,
// and V_br times the integral of i until it is nothing is V_br L D/R^2 (x - ln(1 + x)), with
// D = V_br - V and x = I R/D; without resistance L I^2 / 2 times V_br / D. Source: circuit
// theory, series RL circuit.
func (c Cut) Clamp(breakV float64) (Clamped, error) {
	if err := positive(quantity{"voltage above that of the battery", breakV - c.volt, "V"}); err != nil {
		return Clamped{}, err
	}
	d := breakV - c.volt
	x := c.A * c.ohm / d
	return Clamped{X: x, J: breakV * c.henry * d / (c.ohm * c.ohm) * lessLog(x), cut: c, breakV: breakV}, nil
}

// lessLog is x - ln(1 + x), for small values without the difference of two alike.
func lessLog(x float64) float64 {
	if x < 1e-4 {
		return x * x * (1.0/2 - x/3)
	}
	return x - math.Log1p(x)
}

// MostClamped is the inductance in H, of those between least and most, of a short circuit
// with which most energy goes into a switch that opens after some seconds. With less
// inductance less is stored by the same current, with more the current is still small:
// with u = s R/L the energy goes with g(u)/u, g = x - ln(1 + x) and x = V/D (1 - exp(-u)),
// which has one greatest value, where u g' = g. Source: circuit theory, series RL circuit.
func MostClamped(volt, ohm, breakV, s, least, most float64) float64 {
	share := volt / (breakV - volt)
	rises := func(u float64) float64 {
		x := share * -math.Expm1(-u)
		return u*x/(1+x)*(share-x) - lessLog(x)
	}
	switch lo, hi := s*ohm/most, s*ohm/least; {
	case rises(lo) <= 0:
		return most
	case rises(hi) >= 0:
		return least
	default:
		return s * ohm / root(rises, lo, hi, 1e-9*lo)
	}
}

// Steps are how it comes about.
func (c Cut) Steps() []Step {
	return []Step{
		{"I_cut", "current when it opens", line(c.A, "A", "V/R (1 - exp(-t R/L))", "$1 / $2 * (1 - exp(-$3 * $2 / $4))", c.volt, c.ohm, c.s, c.henry)},
		{"E_L", "energy of the loop then", line(c.J, "J", "L I_cut^2 / 2", "$1 * $2^2 / 2", c.henry, c.A)},
	}
}

// Steps are how it comes about.
func (k Clamped) Steps() []Step {
	c := k.cut
	return []Step{
		{"x", "voltage over the resistance, over what the clamp has above the battery", line(k.X, "", "I_cut R / (V_br - V)", "$1 * $2 / ($3 - $4)", c.A, c.ohm, k.breakV, c.volt)},
		{"E", "energy that goes into the switch until nothing flows, with what the battery still feeds", line(k.J, "J", "V_br L (V_br - V) / R^2 (x - ln(1 + x))",
			"$1 * $2 * ($1 - $3) / $4^2 * ($5 - ln(1 + $5))", k.breakV, c.henry, c.volt, c.ohm, k.X)},
	}
}

// DiodeForwardV is the forward voltage in V of the body diode of a transistor that is
// off. Source: common practice for silicon, 0.7 to 1 V.
const DiodeForwardV = 0.8

// DiodeHeat is the heat in W of a current through a forward voltage.
func DiodeHeat(amperes, volt float64) Line {
	return line(amperes*volt, "W", "I V_f", "$1 * $2", amperes, volt)
}

// ChannelHeat is the heat in W of a current through a resistance in mOhm.
func ChannelHeat(amperes, milliohm float64) Line {
	return line(amperes*amperes*milliohm/1000, "W", "I^2 R", "$1^2 * $2 / 1000", amperes, milliohm)
}
