package controller

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBrakingLost(t *testing.T) {
	brake := func(value string, more ...string) []rules.Edit {
		return append(ruletest.Edits("vehicle.mechanical_brake", value), ruletest.Edits(more...)...)
	}
	fixture.Play(t, brakingLost(), []ruletest.Scene{
		{Name: "no other brake", Subject: "drive", Edits: brake("false"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "its regeneration of 40 A ends"}},
		{Name: "a mechanical brake", Subject: "drive", Edits: brake("true"), Want: ruletest.Want{Verdict: rules.AsDeclared}},
		{Name: "nothing is said of brakes", Subject: "drive", Edits: brake(""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "vehicle.mechanical_brake"}},
		{Name: "it does not brake", Subject: "drive", Edits: brake("false", "controllers.drive.regen_A", "", "modes.brake", ""), Want: ruletest.Want{Verdict: rules.Passed, Message: "does not brake"}},
		{Name: "a spare", Subject: "drive", Edits: brake("false", "controllers.drive.spare", "true")},
	})
}
