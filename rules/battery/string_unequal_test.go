package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestStringUnequal(t *testing.T) {
	rule := stringUnequal()
	sizes := func(pack, lower string, more ...rules.Edit) []rules.Edit {
		return series(append(ruletest.Edits("batteries.pack.capacity_Ah", pack, "batteries.lower.capacity_Ah", lower), more...)...)
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a battery by itself", Subject: "pack"},
		{Name: "like batteries", Subject: "lower", Edits: sizes("100", "100"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 90, Capability: 100}},
		{Name: "a difference of tolerance", Subject: "lower", Edits: sizes("100", "91"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a smaller one", Subject: "lower", Edits: sizes("100", "40"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 90, Capability: 40, Message: "lower is empty first"}},
		{Name: "a larger one", Subject: "lower", Edits: sizes("40", "100"), Want: ruletest.Want{Verdict: rules.Failed, Message: "pack is empty first"}},
		{Name: "two chemistries", Subject: "lower", Edits: sizes("100", "100", ruletest.Edits("batteries.lower.chemistry", `"lead-acid"`, "batteries.lower.series", "6")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "(lead-acid) and pack (LFP)"}},
		{Name: "one does not name its chemistry", Subject: "lower", Edits: sizes("100", "100", ruletest.Edits("batteries.lower.chemistry", "", "batteries.lower.series", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.lower.chemistry"}},
		{Name: "one does not say", Subject: "lower", Edits: sizes("100", "100", ruletest.Edits("batteries.lower.capacity_Ah", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.lower.capacity_Ah"}},
	})
}
