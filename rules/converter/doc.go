// Package converter holds the rules of the converter family: whether a DC-DC
// converter works over the whole range of its pack, carries its loads continuously
// and at their peak, and what voltage the consumers on its network get.
package converter

import "example.org/headroom/rules"

// family is what the rules of this package belong to.
const family = "converter"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		inputLow(),
		inputHigh(),
		startHigh(),
		neverRuns(),
		overloaded(),
		peakOverloaded(),
		inputOverloaded(),
		inrushHigh(),
		notIsolated(),
		lampInrush(),
		loadVoltageLow(),
		loadVoltageHigh(),
		loadDropHigh(),
		criticalLoadSingleFuse(),
		auxiliaryOvercharged(),
		auxiliaryUndercharged(),
		auxiliaryRechargeHigh(),
		stallsOnBattery(),
		functionsLostTogether(),
		batteryFlatWhenParked(),
		batteryReserveShort(),
	}
}
