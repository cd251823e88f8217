package busbar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBusbarHoleWide(t *testing.T) {
	bar := func(pairs ...string) []rules.Edit { return ruletest.Edits(pairs...) }
	fixture.Play(t, busbarHoleWide(), []ruletest.Scene{
		// M10 of the stud: (25 - 10.5) 5 = 72.5 mm2, 200 A / 72.5 mm2 = 2.759 A/mm2.
		{Name: "the hole of its stud", Subject: "bar", Want: ruletest.Want{Verdict: rules.Passed, Demand: 2.759, Capability: 6, Relative: 0.001}},
		// DIN 43673: 25 mm with 13.5 mm are beyond its 46 %.
		{Name: "a hole of its own", Subject: "bar", Edits: bar("busbars.bar.hole_mm", "13.5"),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "busbar-overloaded/bar", Level: rules.Warning, Demand: 13.5, Capability: 12.5}},
		{Name: "within DIN 43673", Subject: "bar", Edits: bar("busbars.bar.hole_mm", "11"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "two thirds of it gone", Subject: "bar", Edits: bar("busbars.bar.hole_mm", "18"), Want: ruletest.Want{Verdict: rules.Failed, Primary: "busbar-overloaded/bar", Level: rules.Error, Demand: 18, Capability: 16.667}},
		// (16 - 10.5) 5 = 27.5 mm2 for 200 A: 7.27 A/mm2, and 200 A / 6 A/mm2 / 5 mm + 10.5 mm = 17.2 mm.
		{Name: "too thin beside the hole", Subject: "bar", Edits: bar("busbars.bar.width_mm", "16", "busbars.bar.thread", `"M10"`),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "busbar-overloaded/bar", Level: rules.Error, Demand: 7.273, Capability: 6, Relative: 0.001, Fix: "use a bar at least 21 mm wide"}},
		{Name: "of aluminium", Subject: "bar", Edits: bar("busbars.bar.thickness_mm", "3", "busbars.bar.material", `"aluminium"`),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "busbar-overloaded/bar", Level: rules.Error, Demand: 4.598, Capability: 4, Relative: 0.001}},
		{Name: "wider than the bar", Subject: "bar", Edits: bar("busbars.bar.hole_mm", "26"), Want: ruletest.Want{Verdict: rules.Failed, Primary: "busbar-overloaded/bar", Level: rules.Error, Message: "leaves nothing"}},
		{Name: "a thread at one end", Subject: "on", Edits: bar("busbars.on.terminals", `{"to": {"thread": "M24"}}`, "busbars.on.width_mm", "40"),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "busbar-overloaded/on", Level: rules.Warning, Demand: 24.5, Capability: 20}},
		{Name: "no thread", Subject: "bar", Edits: bar("studs.joint.thread", "")},
		{Name: "no modes", Subject: "bar", Edits: bar("modes", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "modes"}},
	})
}
