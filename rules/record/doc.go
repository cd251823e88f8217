// Package record holds the rules about the specification as a record: parts
// that nothing uses, ratings without a datasheet behind them, values of one
// part that cannot all be true, and values that are hardly possible.
package record

import (
	"slices"

	"example.org/headroom/rules"
)

// family is what the rules of this package belong to.
const family = "record"

// Rules lists the rules of the family; others are the rules of all other
// families, which a policy may tune too.
func Rules(others []*rules.Rule) []*rules.Rule {
	own := []*rules.Rule{
		partUnused(),
		spareInUse(),
		modesMissing(),
		sourceMissing(),
		vitalDataMissing(),
		ratingsContradict(),
		valueUnlikely(),
		labelDuplicate(),
		altitudeAboveRatings(),
	}
	known := slices.Concat(others, own)
	var ids []string
	for _, r := range known {
		ids = append(ids, r.ID)
	}
	return append(own, policyRuleUnknown(ids), policyWeakened(known))
}
