// Package conductor holds the rules of the conductor family: what wires carry and
// how hot they get, what their insulation withstands, and how they are joined: lugs,
// studs, torque and bonding.
package conductor

import (
	"example.org/headroom/rules"
)

// family is what the rules of this package belong to.
const family = "conductor"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		conductorOverloaded(),
		conductorPeakHot(),
		conductorDropHigh(),
		insulationVoltageLow(),
		bundleVoltageLow(),
		orangeMissing(),
		limitedSourceUnprotected(),
		lugHoleMismatch(),
		studOverloaded(),
		studCrowded(),
		blockOverloaded(),
		blockVoltageLow(),
		clampSizeMismatch(),
		torqueMissing(),
		bondMissing(),
		bondResistanceHigh(),
	}
}
