// Package measurement holds the rules about shunts and meters.
package measurement

import "example.org/headroom/rules"

// family is what the rules of this package belong to.
const family = "measurement"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		senseLeadUnfused(),
		shuntMeterMismatch(),
		shuntOverloaded(),
		shuntReversed(),
		shuntMissesCurrent(),
		meterRangeLow(),
		meterIsolationLow(),
		meterSenseHigh(),
		meterUnreadable(),
	}
}
