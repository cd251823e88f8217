package calc

import "math"

// BurstCurrent is the current in A that a part gives or bears for s seconds,
// when it is rated continuousA continuously and peakA for peakS: up to peakS the
// peak, beyond it what puts no more heat above the continuous current into the
// part than the rated peak does, (I2 - Ic2) t = (Ip2 - Ic2) tp. It counts no
// cooling on the way, which is on the safe side. Source: circuit theory
// (adiabatic heating above a steady state); common practice for batteries and
// motor controllers.
func BurstCurrent(peakA, peakS, continuousA, s float64) (Line, error) {
	if err := firstError(
		positive(quantity{"peak current", peakA, "A"}, quantity{"duration of the peak", peakS, "s"}),
		notNegative(quantity{"continuous current", continuousA, "A"}),
	); err != nil {
		return Line{}, err
	}
	if math.IsInf(s, 1) {
		return line(continuousA, "A", "I_c", "$1", continuousA), nil
	}
	if err := positive(quantity{"time", s, "s"}); err != nil {
		return Line{}, err
	}
	if s <= peakS || peakA <= continuousA {
		return line(max(peakA, continuousA), "A", "max(I_pk, I_c)", "max($1, $2)", peakA, continuousA), nil
	}
	return line(math.Sqrt(continuousA*continuousA+(peakA*peakA-continuousA*continuousA)*peakS/s), "A",
		"sqrt(I_c^2 + (I_pk^2 - I_c^2) t_pk / t)", "sqrt($1^2 + ($2^2 - $1^2) * $3 / $4)", continuousA, peakA, peakS, s), nil
}
