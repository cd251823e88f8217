package calc

import "math"

const (
	// serviceMinutes is a service life of ten years in minutes.
	serviceMinutes = 10 * 365.25 * 24 * 60
	// ageingExponent is how the life of solid insulation falls with its voltage: t ~ V^-n,
	// n from 9 to 12. Source: inverse power law of electrical ageing (IEC 61251, from
	// memory).
	ageingExponent = 10
)

// LastingTestVoltage is the test voltage in V, held for a minute, below which solid
// insulation at a working voltage in V does not last ten years: 4.7 times that
// voltage. Insulation that just holds a voltage for a minute does not hold it for good.
// Source: inverse power law of electrical ageing, life ~ V^-10.
func LastingTestVoltage(workingV float64) Line {
	factor := math.Pow(serviceMinutes, 1.0/ageingExponent)
	return line(factor*workingV, "V", "(t_life / 1 min)^(1/10) U", "($1)^(1/$2) * $3", serviceMinutes, ageingExponent, workingV)
}
