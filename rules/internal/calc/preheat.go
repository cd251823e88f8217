package calc

import "math"

// PreheatedShare is the share of its cold opening time after which a fuse opens
// at a current, when it is as hot as a steady priorA would make it; holdA is what
// it carries for ever. It is 1 for a cold fuse, and 0 for one that is as hot as it
// may be; at a large current it is 1 - Ip2/Ih2. At holdA and below it opens never
// and the share is 1.
//
// Source: the thermal replica of IEC 60255-149, ln((I2 - Ip2)/(I2 - Ih2)) over
// ln(I2/(I2 - Ih2)); that a fuse's element follows it is common practice.
func PreheatedShare(currentA, priorA, holdA float64) (float64, error) {
	if err := firstError(
		notNegative(quantity{"current", currentA, "A"}, quantity{"prior current", priorA, "A"}),
		positive(quantity{"current that the fuse holds", holdA, "A"}),
	); err != nil {
		return 0, err
	}
	i, p, h := currentA*currentA, priorA*priorA, holdA*holdA
	switch {
	case i <= h:
		return 1, nil
	case p >= h:
		return 0, nil
	}
	return math.Log((i-p)/(i-h)) / math.Log(i/(i-h)), nil
}

// OpeningTimeConstant is the time constant in s of a fuse's element that opens it
// after a time in s at a current, from cold, when it holds holdA for ever: t/ln(I2
// /(I2 - Ih2)). It is false at holdA and below. Source: as [PreheatedShare].
func OpeningTimeConstant(currentA, holdA, opensS float64) (tauS float64, ok bool) {
	i, h := currentA*currentA, holdA*holdA
	if !(i > h) || !(opensS > 0) || math.IsInf(opensS, 1) {
		return 0, false
	}
	return opensS / math.Log(i/(i-h)), true
}
