package calc

import "math"

// Metal is a conductor material in short-circuit arithmetic.
type Metal struct {
	Name  string
	k     float64 // A s^0.5/mm2
	betaC float64
	// Resistivity20 in Ohm mm2/m at 20 C.
	Resistivity20 float64
	heat          float64 // J/(m3 K)
}

// Copper is copper with the constants of IEC 60949 and IEC 60028.
func Copper() Metal {
	return Metal{Name: "copper", k: 226, betaC: CopperBetaC, Resistivity20: CopperResistivity20, heat: copperHeat}
}

// Aluminium is aluminium with the constants of IEC 60949.
func Aluminium() Metal {
	return Metal{Name: "aluminium", k: 148, betaC: 228, Resistivity20: 0.028264, heat: aluminiumHeat}
}

// alpha20 is the temperature coefficient per K from 20 C.
func (m Metal) alpha20() float64 { return 1 / (m.betaC + 20) }

// AdiabaticLimitS is the longest time in s for which a short circuit may be
// reckoned without heat flow. Source: IEC 60364-4-43, 434.5.2.
const AdiabaticLimitS = 5

// TinnedLugLimitC is the temperature limit in C of crimped lugs on tinned copper:
// below the 232 C at which tin melts. Common practice is 200 to 230 C; this is the
// low end.
const TinnedLugLimitC = 200

// ShortTimeLimitC is the highest conductor temperature in C that an insulation
// bears for the seconds of a short circuit: PVC 160, XLPE and EPR 250, silicone
// 350, butyl rubber 220. Source: IEC 60364-5-54 Table A.54.2 and following;
// silicone from memory. Other materials are not known.
func ShortTimeLimitC(material string) (float64, bool) {
	switch material {
	case "PVC":
		return 160, true
	case "XLPE", "EPR":
		return 250, true
	case "silicone":
		return 350, true
	case "butyl":
		return 220, true
	}
	return 0, false
}

// KFactor is the k of I2t = k2 S2, in A s^0.5/mm2, from a starting to a final
// temperature: K sqrt(ln((beta + Tf)/(beta + Ti))). The printed values 115 and
// 143 belong to starts of 70 and 90 C; a cable that starts hotter has less.
// Source: IEC 60364-5-54 Annex A with the constants of IEC 60949.
func KFactor(m Metal, startC, finalC float64) (Line, error) {
	if err := within(quantity{"starting temperature", startC, "C"}, -100, 1000); err != nil {
		return Line{}, err
	}
	if !finite(finalC) || finalC <= startC || finalC > 1083 {
		return Line{}, quantity{"final temperature", finalC, "C"}.fault("must be above the starting temperature and below melting")
	}
	return line(m.k*math.Sqrt(math.Log((m.betaC+finalC)/(m.betaC+startC))), "A s^0.5/mm2",
		"$1 sqrt(ln(($2 + T_f) / ($2 + T_c)))", "$1 * sqrt(ln(($2 + $3) / ($2 + $4)))", m.k, m.betaC, finalC, startC), nil
}

// WithstandI2t is the energy k2 S2 in A2s that a conductor bears. The standard
// takes the nominal area, although the greatest resistance that a metric size
// may have belongs to 5 to 15 % less copper. Source: IEC 60364-4-43, 434.5.2.
func WithstandI2t(areaMM2, k float64) Line {
	return line(k*k*areaMM2*areaMM2, "A2s", "(k S)^2", "($1 * $2)^2", k, areaMM2)
}

// AdiabaticTime is the time in s in which a current heats a conductor through
// its k: k2 S2/I2. It is false if the time is beyond [AdiabaticLimitS], where
// heat flows off and [Heating] is to be asked instead. Source: IEC 60364-4-43,
// 434.5.2.
func AdiabaticTime(areaMM2, k, currentA float64) (s float64, ok bool) {
	if positive(quantity{value: areaMM2}, quantity{value: k}, quantity{value: currentA}) != nil {
		return math.Inf(1), false
	}
	s = WithstandI2t(areaMM2, k).Value / (currentA * currentA)
	return s, s <= AdiabaticLimitS
}

// WithstandArea is the least area in mm2 for a current of a given time: I
// sqrt(t)/k. Source: IEC 60364-5-54, 543.1.2.
func WithstandArea(currentA, s, k float64) (float64, error) {
	if err := firstError(
		positive(quantity{"k", k, "A s^0.5/mm2"}),
		notNegative(quantity{"current", currentA, "A"}),
		within(quantity{"time", s, "s"}, 0, AdiabaticLimitS),
	); err != nil {
		return 0, err
	}
	return currentA * math.Sqrt(s) / k, nil
}

// copperMeltsC is the melting point of copper in C.
const copperMeltsC = 1083

// FusingCurrent is the current in A that melts a bare copper wire in s seconds,
// by Onderdonk's equation: 33 t (I/A)2 = log10(1 + (Tm - Ta)/(234 + Ta)) with A
// in circular mils. A printed example with 234 - Ta is a slip of sign and gives
// 5 % too much. Source: Onderdonk's equation as in handbooks of printed-circuit
// and power engineering; good to about 10 s.
func FusingCurrent(areaMM2, ambientC, s float64) (float64, error) {
	if err := positive(quantity{"area", areaMM2, "mm2"}, quantity{"time", s, "s"}); err != nil {
		return 0, err
	}
	x, err := onderdonk(ambientC)
	if err != nil {
		return 0, err
	}
	return CircularMils(areaMM2) * math.Sqrt(x/(33*s)), nil
}

// FusingTime is the time in s in which a current melts a bare copper wire.
// Source: as [FusingCurrent].
func FusingTime(areaMM2, ambientC, currentA float64) (float64, error) {
	if err := positive(quantity{"area", areaMM2, "mm2"}, quantity{"current", currentA, "A"}); err != nil {
		return 0, err
	}
	x, err := onderdonk(ambientC)
	perMil := currentA / CircularMils(areaMM2)
	return x / (33 * perMil * perMil), err
}

func onderdonk(ambientC float64) (float64, error) {
	if err := within(quantity{"ambient temperature", ambientC, "C"}, -100, 1000); err != nil {
		return 0, err
	}
	return math.Log10(1 + (copperMeltsC-ambientC)/(234+ambientC)), nil
}

// ICEAWithstand is the current in A that heats a copper conductor from one
// temperature to another in s seconds: (I/A)2 t = 0.0297 log10((T2 + 234)/(T1 +
// 234)), A in circular mils. It agrees with [KFactor] within 1 %. Source: ICEA
// P-32-382.
func ICEAWithstand(areaMM2, startC, finalC, s float64) (float64, error) {
	if err := positive(quantity{"area", areaMM2, "mm2"}, quantity{"time", s, "s"}); err != nil {
		return 0, err
	}
	if !finite(startC) || !finite(finalC) || startC <= -234 || finalC <= startC {
		return 0, quantity{"final temperature", finalC, "C"}.fault("must be above the starting temperature")
	}
	return CircularMils(areaMM2) * math.Sqrt(0.0297*math.Log10((finalC+234)/(startC+234))/s), nil
}
