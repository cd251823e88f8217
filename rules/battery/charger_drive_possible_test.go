package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestChargerDrivePossible(t *testing.T) {
	rule := chargerDrivePossible()
	fleetIsSilent(t, rule)
	ruletest.Play(t, rule, bench, []ruletest.Scene{
		{Name: "an interlock", Subject: "charger", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "none stated", Subject: "charger", Edits: []rules.Edit{drop("chargers.charger.inhibits_drive")},
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "nothing to drive off with", Subject: "charger",
			Edits: []rules.Edit{drop("chargers.charger.inhibits_drive"), drop("controllers"), drop("wires.w3"), drop("wires.w4"),
				set("wires.w5.from", `"minus.stud"`), drop("modes.cruise"), drop("modes.climb"), drop("modes.brake")}},
	})
}
