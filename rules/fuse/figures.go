package fuse

import (
	"math"

	"example.org/headroom/rules"
)

// seconds renders a time for a message in the unit that a person would use.
func seconds(s float64) string {
	const minute, hour = 60, 3600
	switch {
	case math.IsInf(s, 1):
		return "unlimited time"
	case s > 0 && s < 0.1:
		return rules.Figure(1000*s) + " ms"
	case s < 10*minute:
		return rules.Figure(s) + " s"
	case s < 2*hour:
		return rules.Figure(s/minute) + " min"
	}
	return rules.Figure(s/hour) + " h"
}

// roundDown leaves three significant digits of a limit to propose, and never
// more than the limit.
func roundDown(v float64) float64 {
	if v <= 0 || math.IsInf(v, 1) {
		return v
	}
	return rules.RoundDown(v, math.Pow(10, math.Floor(math.Log10(v))-2))
}
