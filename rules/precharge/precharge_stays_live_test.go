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
