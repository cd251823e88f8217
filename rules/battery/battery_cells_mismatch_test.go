package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 15 cells of LFP: 37.5 to 54.75 V, 48 V nominal (published cell data).
func TestBatteryCellsMismatch(t *testing.T) {
	rule := batteryCellsMismatch()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "they fit", Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed, Demand: 54, Capability: 56.39}},
		{Name: "charged for more cells", Subject: "pack", Edits: ruletest.Edits("batteries.pack.series", "14"), // 1.03 x 51.1 = 52.6
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 54, Capability: 52.633}},
		{Name: "charged for another chemistry", Subject: "pack", Edits: ruletest.Edits("batteries.pack.chemistry", `"NMC"`, "batteries.pack.max_V", "65"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}}, // 1.03 x 15 x 4.2 = 64.9
		{Name: "emptied too far", Subject: "pack", Edits: ruletest.Edits("batteries.pack.min_V", "35"), // 0.95 x 37.5 = 35.6
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 35.625, Capability: 35}},
		{Name: "too many cells for so few volts", Subject: "pack", Edits: ruletest.Edits("batteries.pack.series", "16", "batteries.pack.max_V", "51"), // 51.2 V nominal
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "the cells of 12 V lead-acid", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.chemistry", `"lead-acid"`, "batteries.pack.series", "24", "batteries.pack.max_V", "57.6", "batteries.pack.min_V", "42"),
			Want:  ruletest.Want{Verdict: rules.Passed}},
		{Name: "no chemistry", Subject: "pack", Edits: ruletest.Edits("batteries.pack.chemistry", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.chemistry"}},
		{Name: "no number of cells", Subject: "pack", Edits: ruletest.Edits("batteries.pack.series", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.series"}},
		{Name: "another chemistry", Subject: "pack", Edits: ruletest.Edits("batteries.pack.chemistry", `"other"`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "the cell voltages of another chemistry"}},
	})
}
