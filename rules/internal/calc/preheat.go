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
func PreheatedShare(currentA, priorA, holdA float64) (Line, error) {
	if err := firstError(
		notNegative(quantity{"current", currentA, "A"}, quantity{"prior current", priorA, "A"}),
		positive(quantity{"current that the fuse holds", holdA, "A"}),
	); err != nil {
		return Line{}, err
	}
	i, p, h := currentA*currentA, priorA*priorA, holdA*holdA
	share := 1.0
	if i > h {
		share = math.Log((i-min(p, h))/(i-h)) / math.Log(i/(i-h))
	}
	return line(share, "", "ln((I^2 - I_p^2) / (I^2 - I_h^2)) / ln(I^2 / (I^2 - I_h^2))",
		"ln(($1^2 - $2^2) / ($1^2 - $3^2)) / ln($1^2 / ($1^2 - $3^2))", currentA, priorA, holdA), nil
}

// OpeningTimeConstant is the time constant in s of a fuse's element that opens it
// after a time in s at a current, from cold, when it holds holdA for ever: t/ln(I2
// /(I2 - Ih2)). It is false at holdA and below. Source: as [PreheatedShare].
func OpeningTimeConstant(currentA, holdA, opensS float64) (tau Line, ok bool) {
	i, h := currentA*currentA, holdA*holdA
	if !(i > h) || !(opensS > 0) || math.IsInf(opensS, 1) {
		return Line{}, false
	}
	return line(opensS/math.Log(i/(i-h)), "s", "t_min / ln(I^2 / (I^2 - I_h^2))", ""), true
}
