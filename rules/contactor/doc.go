// Package contactor holds the rules of the contactor family: what operates,
// holds and releases the coils of contactors and relays, what their contacts
// carry, close on and interrupt, and what absorbs the energy of their coils.
package contactor

import "example.org/headroom/rules"

// family is what the rules of this package belong to.
const family = "contactor"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		coilPullInLow(),
		coilHoldLow(),
		coilSelfHolding(),
		contactorNotKeyed(),
		staysLatched(),
		coilReturnSwitched(),
		weldUnnoticed(),
		coilNeverOff(),
		enableNotKeyed(),
		emergencyStopIndirect(),
		emergencyStopCategory(),
		coilNominalMismatch(),
		coilOvervoltage(),
		coilOutputOverloaded(),
		contactorCarryLow(),
		contactorShortTimeLow(),
		contactVoltageLow(),
		timerSupplyOutside(),
		timerRecoveryLong(),
		contactorMakeLow(),
		contactorBreakLow(),
		contactorBreakReverseLow(),
		contactorDropsUnderLoad(),
		contactorWeldsOnShort(),
		suppressionMissing(),
		suppressionReversed(),
		suppressionClampHigh(),
		cutoutContactLow(),
		suppressionSlow(),
	}
}
