package switches

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactVoltageACOnly(t *testing.T) {
	rule := contactVoltageACOnly()
	if got := ruletest.On(t, rule, "heron"); len(got) != 0 {
		t.Errorf("%v without an AC rating", got)
	}
	got := ruletest.On(t, rule, "heron", ruletest.Edits(
		"disconnects.isolator.rated_V_dc", "", "disconnects.isolator.rated_V_ac", "400",
		"contactors.main_contactor.contact.rated_V_ac", "230",
		"relays.soft_relay.contact.rated_V_dc", "", "relays.soft_relay.contact.rated_V_ac", "250",
		"timers.wait", `{"set_s": 3, "supply_V": {"min": 36, "max": 62}, "contact": {"carry_A": 5, "rated_V_ac": 230}}`,
		"cutouts.hot", `{"guards": "soft", "opens_C": 120, "contact": {"carry_A": 5, "rated_V_ac": 250}}`,
		"cutouts.both", `{"guards": "soft", "opens_C": 120, "contact": {"carry_A": 5, "rated_V_ac": 250, "rated_V_dc": 48}}`,
		"timers.spare", `{"set_s": 3, "supply_V": {"min": 36, "max": 62}, "contact": {"rated_V_ac": 230}, "spare": true}`,
		"switches.key.poles.drive.rated_V_dc", "", "switches.key.poles.drive.rated_V_ac", "250")...)
	for subject, want := range map[string]ruletest.Want{
		"isolator":       {Verdict: rules.Failed, Level: rules.Error, Message: "rated 400 V AC only"},
		"main_contactor": {Verdict: rules.Passed},
		"soft_relay":     {Verdict: rules.Failed},
		"wait":           {Verdict: rules.Failed, Message: "wait: rated 230 V AC only"},
		"hot":            {Verdict: rules.Failed, Message: "hot: rated 250 V AC only"},
		"both":           {Verdict: rules.Passed},
		"key.drive":      {Verdict: rules.Failed, Message: "key.drive: rated 250 V AC only"},
	} {
		ruletest.Expect(t, got, subject, want)
	}
	if r, ok := got["spare"]; ok {
		t.Errorf("a spare timer: %s", r.Message)
	}
}
