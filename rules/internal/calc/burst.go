package calc

import "math"

// BurstCurrent is the current in A that a part gives or bears for s seconds,
// when it is rated continuousA continuously and peakA for peakS: up to peakS the
// peak, beyond it what puts no more heat above the continuous current into the
// part than the rated peak does, (I2 - Ic2) t = (Ip2 - Ic2) tp. It counts no
// cooling on the way, which is on the safe side. Source: circuit theory
// (adiabatic heating above a steady state); common practice for batteries and
// motor controllers.
func BurstCurrent(peakA, peakS, continuousA, s float64) (float64, error) {
	if err := firstError(
		positive(quantity{"peak current", peakA, "A"}, quantity{"duration of the peak", peakS, "s"}),
		notNegative(quantity{"continuous current", continuousA, "A"}),
	); err != nil {
		return 0, err
	}
	if math.IsInf(s, 1) {
		return continuousA, nil
	}
	if err := positive(quantity{"time", s, "s"}); err != nil {
		return 0, err
	}
	if s <= peakS || peakA <= continuousA {
		return math.Max(peakA, continuousA), nil
	}
	return math.Sqrt(continuousA*continuousA + (peakA*peakA-continuousA*continuousA)*peakS/s), nil
}
