package define

import (
	"strconv"
	"strings"

	"example.org/headroom/schema/internal/source"
)

// units lists the endings of field names that are units, longest first.
func units() []string {
	return []string{
		"_rpm_per_V", "_mV_per_K", "_V_dc", "_V_ac", "_A_dc", "_A2s", "_mOhm", "_uOhm", "_kOhm", "_Ohm", "_mm2", "_percent",
		"_mA", "_uA", "_mV", "_uF", "_mH", "_mm", "_ms", "_us", "_Ah", "_Nm", "_deg", "_rpm", "_A", "_V", "_W", "_J", "_m", "_C", "_K", "_s",
	}
}

// SplitUnit cuts the unit off a field's name: "rated_V_dc" is "rated" in "V".
func SplitUnit(name string) (stem, unit string) {
	for _, u := range units() {
		if s, ok := strings.CutSuffix(name, u); ok && s != "" {
			u = strings.TrimPrefix(u, "_")
			if per := strings.Split(u, "_per_"); len(per) == 2 {
				return s, per[0] + " per " + per[1]
			}
			u, _, _ = strings.Cut(u, "_")
			return s, u
		}
	}
	return name, ""
}

// UnitOf returns the unit that a field's name ends in, or "". The points of a
// curve are named by the unit alone.
func UnitOf(name string) string {
	switch name {
	case "A", "V", "s":
		return name
	}
	_, unit := SplitUnit(name)
	return strings.Replace(unit, "deg", "degrees", 1)
}

// WithUnit writes a number with its unit behind it.
func WithUnit(v float64, unit string) string {
	return strings.TrimSpace(source.FormatNumber(v) + " " + unit)
}

// Least is the smallest number beside 0 that a specification may give, in the unit of its
// field. No part has less of anything that the format has a field for, and the arithmetic
// keeps its digits: with denormal numbers (below 2e-308) a quotient is infinite, and
// conductances more than some fifteen decades apart cannot be solved for together.
const Least = 1e-9

func formatLarge(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
