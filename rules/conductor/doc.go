// Package conductor holds the rules of the conductor family: what wires carry and
// how hot they get, what their insulation bears, and how they are joined: lugs,
// studs, torque and bonding.
package conductor

import (
	"math"

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
		torqueMissing(),
		bondMissing(),
		bondResistanceHigh(),
	}
}

// figure is a number in a message.
func figure(v float64) string { return rules.Figure(v) }

func amperes(a float64) rules.Quantity { return rules.Quantity{Value: a, Unit: "A"} }
func volts(v float64) rules.Quantity   { return rules.Quantity{Value: v, Unit: "V"} }

// roundUp is the next whole number, but for the last digits of a double.
func roundUp(v float64) float64 { return math.Ceil(v * (1 - 1e-9)) }
