package switches

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestRelayLoadKindLow(t *testing.T) {
	rule := relayLoadKindLow()
	fan := ruletest.Edits("wires.r2.to", `"fan.pos"`)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a heater", Subject: "r", Want: ruletest.Want{Verdict: rules.Passed, Message: "neither"}},
		{Name: "a motor above a fifth of carry_A", Subject: "r", Edits: fan, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 5, Capability: 4}},
		{Name: "a motor within a fifth", Subject: "r", Edits: append(fan, ruletest.Edits("relays.r.contact.carry_A", "30")...), Want: ruletest.Want{Verdict: rules.Passed, Demand: 5, Capability: 6}},
		{Name: "not given", Subject: "r", Edits: append(fan, ruletest.Edits("relays.r.contact.carry_A", "")...), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "relays.r.contact.carry_A"}},
		{Name: "no mode closes it", Subject: "r", Edits: ruletest.Edits("modes.on.closed", `["lights"]`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a changeover relay by its throw", Subject: "r.nc", Edits: append(ruletest.Edits("relays.r.form", `"changeover"`), lead("n", "r.nc", "fan.pos")...),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a spare one", Subject: "r", Edits: ruletest.Edits("relays.r.spare", "true")},
	})
}
