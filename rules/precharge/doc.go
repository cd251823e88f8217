// Package precharge holds the rules of the precharge family: what charges the
// capacitors of controllers and converters before a contact closes on them, what
// its resistor withstands, and how long they stay charged afterwards.
package precharge

import "example.org/headroom/rules"

// family is what the rules of this package belong to.
const family = "precharge"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		prechargeMissing(),
		plugInrushHigh(),
		prechargeDelayUnmade(),
		capacitorsRingHigh(),
		prechargeStalls(),
		prechargeLeftHigh(),
		prechargePulseHigh(),
		prechargeAttemptsHot(),
		prechargeVoltageLow(),
		prechargeShortBurns(),
		prechargeStaysLive(),
		dischargeWait(),
	}
}
