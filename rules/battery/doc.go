// Package battery holds the rules of the battery family: what a battery carries
// in use and in charging, when it cuts itself off, what happens when two of them are
// joined, and what a charger does to them.
package battery

import "example.org/headroom/rules"

// family is what the rules of this package belong to.
const family = "battery"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		batteryCellsMismatch(),
		batteryOverloaded(),
		batteryPeakHigh(),
		batteryCutoffTrips(),
		cutoffRegenerationHigh(),
		batteryChargeHigh(),
		batteryChargeCold(),
		batteryParallelInrush(),
		batteryParallelMismatch(),
		parallelShareHigh(),
		parallelPackCascade(),
		chargerVoltageHigh(),
		chargerUnfused(),
		backfeedUnfused(),
		chargerNotIsolated(),
		stringTapped(),
		stringUnequal(),
		chargePathOpen(),
		chargerDrivePossible(),
		houseEnergyHigh(),
	}
}
