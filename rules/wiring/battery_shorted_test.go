package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryShorted(t *testing.T) {
	rule := batteryShorted()
	wrong := func(from, to string) []rules.Edit {
		return ruletest.Edits("wires.wrong", `{"from": "`+from+`", "to": "`+to+`", "size": "50 mm2", "length_m": 0.3}`)
	}
	want := func(message string) ruletest.Want {
		return ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: message, Fix: "remove wrong"}
	}
	ruletest.Fixture{File: ruletest.First(), Subject: "pack"}.Play(t, rule, []ruletest.Scene{
		{Name: "sound", Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "right across the battery", Subject: "pack", Edits: wrong("pack.pos", "pack.neg"), Want: want("through wrong")},
		{Name: "behind the fuse", Subject: "pack", Edits: wrong("main.b", "drive.neg"), Want: want("wrong joins plus to minus, through w1 - main - wrong - w5")},
		{Name: "behind contacts, in the modes that close them", Subject: "pack", Edits: wrong("isolator.b", "drive.neg"), Want: want("isolator")},
		{Name: "behind a contact that no mode closes", Subject: "pack", Edits: append(wrong("isolator.b", "drive.neg"),
			ruletest.Edits("modes.parked.closed", "[]", "modes.cruise", "", "modes.climb", "")...), Want: want("short-circuited in mode everything on")},
		{Name: "with no modes at all", Subject: "pack", Edits: append(wrong("pack.pos", "pack.neg"), ruletest.Edits("modes", "")...), Want: want("short-circuited with all switches open")},
		{Name: "no modes, nothing fixed", Subject: "pack", Edits: ruletest.Edits("modes", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "modes"}},
		{Name: "the main cable itself on the wrong pole", Subject: "pack", Edits: ruletest.Edits("wires.w2.to", `"pack.neg"`),
			Want: ruletest.Want{Verdict: rules.Failed, Fix: "which of w1, w2 has an end on the wrong pole, and reconnect it (nothing is connected to isolator.a)"}},
		{Name: "a resistor or a coil is no short circuit", Subject: "pack", Edits: ruletest.Edits(
			"wires.w7.to", `"drive.neg"`), Want: ruletest.Want{Verdict: rules.Passed}},
	})
	t.Run("one battery of a string", func(t *testing.T) {
		ruletest.Fixture{File: ruletest.Fleet() + "/../sound/series-string.yaml"}.Play(t, rule, []ruletest.Scene{
			{Name: "sound", Subject: "b4", Want: ruletest.Want{Verdict: rules.Passed}},
			{Name: "shorted", Subject: "b2", Edits: wrong("b2.pos", "b2.neg"), Want: want("b2 is short-circuited")},
			{Name: "two of it, through the rest", Subject: "b4", Edits: wrong("b2.pos", "b3.neg"), Want: want("are short-circuited")},
		})
	})
}
