package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestChargerDrivePossible(t *testing.T) {
	rule := chargerDrivePossible()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "an interlock", Subject: "charger", Want: ruletest.Want{Verdict: rules.AsDeclared}},
		{Name: "none stated", Subject: "charger", Edits: ruletest.Edits("chargers.charger.inhibits_drive", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "a source on board", Subject: "charger", Edits: ruletest.Edits("chargers.charger.inhibits_drive", "", "chargers.charger.supply", `"dc"`),
			Want: ruletest.Want{Verdict: rules.AsDeclared, Message: "source on board"}},
		{Name: "wired for good, and connected while driving", Subject: "charger", Edits: ruletest.Edits("chargers.charger.inhibits_drive", "", "modes.cruise.connected", `["charger"]`),
			Want: ruletest.Want{Verdict: rules.AsDeclared, Message: "source on board"}},
		{Name: "connected while driving, on a plug", Subject: "charger",
			Edits: ruletest.Edits("chargers.charger.inhibits_drive", "", "chargers.charger.pluggable", "true", "modes.cruise.connected", `["charger"]`),
			Want:  ruletest.Want{Verdict: rules.Failed}},
		{Name: "nothing to drive off with", Subject: "charger",
			Edits: ruletest.Edits("chargers.charger.inhibits_drive", "", "controllers", "", "wires.w3", "", "wires.w4", "",
				"wires.w5.from", `"minus.stud"`, "modes.cruise", "", "modes.climb", "", "modes.brake", "")},
	})
}
