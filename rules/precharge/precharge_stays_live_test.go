package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPrechargeStaysLive(t *testing.T) {
	permanent := []string{"max_V: 500", "max_V: 500, permanent: true"}
	fixture.Play(t, prechargeStaysLive(), []ruletest.Scene{
		{Name: "a relay on the key", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "on the contactor continuously", Replace: noRelay, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "at 96 V"}},
		{Name: "declared permanent", Replace: join(noRelay, permanent), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "at 96 V", Fix: "label"}},
		// 96 V over 10.1 kOhm: 9.505 mA, 6.844 Ah in 720 h; 95.05 V at the bleed.
		{Name: "with a bleed", Replace: join(noRelay, permanent, bleed("10")), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "95.05 V with the key off (mode parked), draws 9.505 mA, 6.844 Ah"}},
		// A lamp of 10 kOhm (96^2 V2 / 0.9216 W) divides in one mode as the bleed does; in the other all 96 V are left.
		{Name: "the mode in which most is left", Replace: join(noRelay, []string{"controllers:", "loads: {lamp: {kind: resistive, power_W: 0.9216, at_V: 96}}\ncontrollers:",
			"modes:", "  l1: {from: c.pos, to: lamp.pos, size: 1 mm2, length_m: 0.1}\n  l2: {from: lamp.neg, to: c.neg, size: 1 mm2, length_m: 0.1}\nmodes:\n  lit: {closed: [d], on: [lamp]}"}),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "at 96 V with the key off (mode parked)"}},
		{Name: "less than counts as live", Replace: join(noRelay, []string{"modes:", "policy: {live_V: 97}\nmodes:"}), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "more than counts as live", Replace: join(noRelay, []string{"modes:", "policy: {live_V: 95}\nmodes:"}), Want: ruletest.Want{Verdict: rules.Failed, Message: "at 96 V"}},
		{Name: "the only modes are with the key", Replace: join(noRelay, []string{"  off: {}\n  parked: {closed: [d]}\n", ""}), Want: ruletest.Want{Verdict: rules.Failed, Message: "at 96 V"}},
		// What else stays live is named too, and each place.
		{Name: "a converter beside the controller", Replace: join(noRelay, permanent, converter("90", "85", "1")),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "keeps c, dc at", Fix: "label c, dc as live"}},
	})
	r := fixture.Replace(t, join(noRelay, permanent, converter("90", "85", "1"))...).On(t, prechargeStaysLive())["r"]
	if len(r.Related) != 2 {
		t.Errorf("%d places, want those of c and dc: %v", len(r.Related), r.Related)
	}
}
