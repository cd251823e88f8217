package busbar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBusbarForceHigh(t *testing.T) {
	// 96 V over 19 mOhm of the pack, 0.4 mOhm of copper and fuse: some 4.9 kA. At 10
	// mm and 1.5 m: F = 2e-7 I^2 l / a; Z = 25 * 25 / 6 = 104.2 mm3.
	stress := func(i, l, a float64) float64 { return 2e-7 * i * i * l / a * l / (8 * 104.17) }
	const fault = 96 / (0.019 + 0.1*0.0801e-3 + 0.2e-3 + 1.5/58/125)
	fixture.Play(t, busbarForceHigh(), []ruletest.Scene{
		{Name: "no bar beside", Subject: "bar"},
		{Name: "close and long", Subject: "bar", Edits: ruletest.Edits("busbars.bar.spacing_mm", "10"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Demand: stress(fault, 1500, 10), Capability: 300, Relative: 0.01}},
		{Name: "with room", Subject: "bar", Edits: ruletest.Edits("busbars.bar.spacing_mm", "60", "busbars.bar.length_mm", "200"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a pack of unknown resistance", Subject: "bar", Edits: ruletest.Edits("busbars.bar.spacing_mm", "10", "batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
	})
}
