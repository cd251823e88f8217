package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// chattering adds a relay that breaks the feed of its own coil behind the key.
// It and a lamp on the same contact draw through the feed of the fixture's coil,
// which they shift by some volts.
var chattering = []string{
	"controllers:", "relays: {buzzer: {form: nc, contact: {carry_A: 20, rated_V_dc: 60}, " +
		"coil: {nominal_V: 12, operate_V: 6, release_V: 1, max_V: 20, resistance_Ohm: 100, suppression: tvs, clamp_V: 24}}}\n" +
		"resistors: {heater: {role: load, resistance_Ohm: 2, power_W: 200}}\ncontrollers:",
	"modes:", "  x1: {from: key.p_b, to: buzzer.common, size: 1.5 mm2, length_m: 1}\n" +
		"  x2: {from: buzzer.nc, to: buzzer.coil_pos, size: 1.5 mm2, length_m: 1}\n" +
		"  x3: {from: buzzer.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 1}\n" +
		"  x4: {from: buzzer.nc, to: heater.a, size: 1.5 mm2, length_m: 1}\n" +
		"  x5: {from: heater.b, to: b.neg, size: 1.5 mm2, length_m: 1}\nmodes:",
}

// A solution that goes to and fro is but one of the states between which it
// does: what holds for a coil is not evaluated by it.
func TestChatterIsNotCheckedOn(t *testing.T) {
	for _, rule := range []*rules.Rule{coilPullInLow(), coilHoldLow(), coilOvervoltage(), suppressionClampHigh()} {
		t.Run(rule.ID, func(t *testing.T) {
			fixture.Play(t, rule, []ruletest.Scene{
				{Name: "at rest", Want: ruletest.Want{Verdict: rules.Passed}},
				{Name: "oscillating", Replace: chattering, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a circuit that settles in mode drive",
					Primary: "contact-chatters/buzzer", Message: "does not settle in mode drive: relay buzzer switches itself on and off"}},
			})
		})
	}
}

// A relay that breaks its own feed from before the key, and feeds the fixture's
// coil while it has one.
func TestChatterThatHoldsIsNotCheckedOn(t *testing.T) {
	fed := join(chattering, []string{"x1: {from: key.p_b,", "x1: {from: b.pos,", "modes:", "  x6: {from: buzzer.nc, to: k.coil_pos, size: 1.5 mm2, length_m: 1}\nmodes:"})
	fixture.Play(t, coilSelfHolding(), []ruletest.Scene{
		{Name: "oscillating", Replace: fed, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a circuit that settles in mode drive", Primary: "contact-chatters/buzzer"}},
	})
}

// A controller of constant power draws more in the state in which the heater
// pulls the battery down.
func TestChatterMovesTheContactsCurrent(t *testing.T) {
	power := join(chattering, []string{"{current_A: 50}", "{power_W: 600}"})
	for _, rule := range []*rules.Rule{contactorCarryLow(), contactorBreakLow(), contactorDropsUnderLoad()} {
		fixture.Play(t, rule, []ruletest.Scene{
			{Name: rule.ID, Replace: power, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a circuit that settles in mode drive", Primary: "contact-chatters/buzzer"}},
		})
	}
}

// What the chatter leaves alone is checked as ever: the traction current of a
// controller of constant current.
func TestChatterElsewhereHidesNothing(t *testing.T) {
	rule := contactorCarryLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "sound", Replace: chattering, Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "at fault", Replace: join(chattering, []string{"{carry_A: 100,", "{carry_A: 40,"}), Want: ruletest.Want{Verdict: rules.Failed}},
	})
}
