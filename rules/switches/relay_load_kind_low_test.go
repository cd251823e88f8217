package switches

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestRelayLoadKindLow(t *testing.T) {
	rule := relayLoadKindLow()
	soundAreSilent(t, rule)
	fan := set("wires.r2.to", `"fan.pos"`)
	ruletest.Play(t, rule, bench, []ruletest.Scene{
		{Name: "a heater", Subject: "r", Want: ruletest.Want{Verdict: rules.Passed, Message: "neither"}},
		{Name: "a motor above a fifth of carry_A", Subject: "r", Edits: with(fan), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 5, Capability: 4}},
		{Name: "a motor within a fifth", Subject: "r", Edits: with(fan, set("relays.r.contact.carry_A", "30")), Want: ruletest.Want{Verdict: rules.Passed, Demand: 5, Capability: 6}},
		{Name: "not given", Subject: "r", Edits: with(fan, drop("relays.r.contact.carry_A")), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "relays.r.contact.carry_A"}},
		{Name: "no mode closes it", Subject: "r", Edits: with(set("modes.on.closed", `["lights"]`)), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a mode that closes r"}},
		{Name: "a changeover relay by its throw", Subject: "r.nc", Edits: with(set("relays.r.form", `"changeover"`), lead("n", "r.nc", "fan.pos")),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a spare one", Subject: "r", Edits: with(set("relays.r.spare", "true"))},
	})
}
