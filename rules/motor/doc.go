// Package motor holds the rules of the motor family: whether a traction motor and its
// controller fit each other, and what the cables between them carry and withstand.
package motor

import "example.org/headroom/rules"

// family is what the rules of this package belong to.
const family = "motor"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		phaseCableOverloaded(),
		phaseCablePeakHot(),
		phaseVoltageLow(),
		phaseShorted(),
		phaseCableLong(),
		motorOverloaded(),
		motorVoltageHigh(),
		motorCutoutMissing(),
	}
}
