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
