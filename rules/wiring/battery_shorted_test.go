package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryShorted(t *testing.T) {
	rule := batteryShorted()
	ruletest.Example(t, rule)
	wrong := func(from, to string) rules.Edit {
		return rules.Edit{Path: "wires.wrong", Value: `{"from": "` + from + `", "to": "` + to + `", "size": "50 mm2", "length_m": 0.3}`}
	}
	path := ruletest.Fleet() + "/../first/first.yaml"
	want := func(message string) ruletest.Want {
		return ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: message, Fix: "take wrong away"}
	}
	ruletest.Play(t, rule, path, []ruletest.Scene{
		{Name: "sound", Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "right across the battery", Subject: "pack", Edits: []rules.Edit{wrong("pack.pos", "pack.neg")}, Want: want("by way of wrong")},
		{Name: "behind the fuse", Subject: "pack", Edits: []rules.Edit{wrong("main.b", "drive.neg")}, Want: want("w1 - main - wrong - w5")},
		{Name: "behind contacts, in the modes that close them", Subject: "pack", Edits: []rules.Edit{wrong("isolator.b", "drive.neg")}, Want: want("isolator")},
		{Name: "behind a contact that no mode closes", Subject: "pack", Edits: []rules.Edit{wrong("isolator.b", "drive.neg"),
			{Path: "modes.parked.closed", Value: "[]"}, {Path: "modes.cruise"}, {Path: "modes.climb"}}, Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "with no modes at all", Subject: "pack", Edits: []rules.Edit{wrong("pack.pos", "pack.neg"), {Path: "modes"}}, Want: want("shorted whatever is switched")},
		{Name: "no modes, nothing fixed", Subject: "pack", Edits: []rules.Edit{{Path: "modes"}}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "modes"}},
		{Name: "the main cable itself on the wrong pole", Subject: "pack", Edits: []rules.Edit{{Path: "wires.w2.to", Value: `"pack.neg"`}},
			Want: ruletest.Want{Verdict: rules.Failed, Fix: "one of w1, w2 that is on the wrong pole"}},
		{Name: "a resistor or a coil is no metal", Subject: "pack", Edits: []rules.Edit{
			{Path: "wires.w7.to", Value: `"drive.neg"`}}, Want: ruletest.Want{Verdict: rules.Passed}},
	})
	t.Run("one battery of a string", func(t *testing.T) {
		ruletest.Play(t, rule, ruletest.Fleet()+"/../sound/series-string.yaml", []ruletest.Scene{
			{Name: "sound", Subject: "b4", Want: ruletest.Want{Verdict: rules.Passed}},
			{Name: "shorted", Subject: "b2", Edits: []rules.Edit{wrong("b2.pos", "b2.neg")}, Want: want("b2 is shorted")},
			{Name: "two of it, through the rest", Subject: "b4", Edits: []rules.Edit{wrong("b2.pos", "b3.neg")}, Want: want("are shorted")},
		})
	})
}
