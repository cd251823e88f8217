// Package record holds the rules about the specification as a record: parts
// that nothing uses, ratings without a datasheet behind them, values of one
// part that cannot all be true, and values that are hardly possible.
package record

import (
	"strconv"

	"example.org/headroom/rules"
)

// family is what the rules of this package belong to.
const family = "record"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		partUnused(),
		sourceMissing(),
		ratingsContradict(),
		valueUnlikely(),
	}
}

func itoa(i int) string { return strconv.Itoa(i) }
