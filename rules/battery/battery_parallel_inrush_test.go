package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The loop is twice 10 mOhm, and some microohms of lead.
func TestBatteryParallelInrush(t *testing.T) {
	rule := batteryParallelInrush()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "one pack", Subject: "pack"},
		{Name: "full onto empty", Subject: "pack", Edits: second(), // (54 - 40) V / 20 mOhm
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 700, Capability: 50, Relative: 5e-3, Fix: "at most 1 V, and set connect_within_V to 1"}},
		{Name: "only one result", Subject: "second", Edits: second()},
		{Name: "joined within half a volt", Subject: "pack", Edits: second(ruletest.Edits("batteries.second.connect_within_V", "0.5")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 25, Capability: 50, Relative: 5e-3}},
		{Name: "joined within two volts", Subject: "pack", Edits: second(ruletest.Edits("batteries.pack.connect_within_V", "2")...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 100, Capability: 50, Relative: 5e-3}},
		{Name: "the fuses are the weaker", Subject: "pack",
			Edits: second(ruletest.Edits("batteries.pack.charge_max_A", "500", "batteries.second.charge_max_A", "500", "fuses.second_fuse.rated_A", "125")...),
			Want:  ruletest.Want{Verdict: rules.Failed, Capability: 125}},
		{Name: "charging limit not stated", Subject: "pack", Edits: second(ruletest.Edits("batteries.second.charge_max_A", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.second.charge_max_A"}},
		{Name: "resistance not given", Subject: "pack", Edits: second(ruletest.Edits("batteries.second.resistance_mOhm", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.second.resistance_mOhm"}},
		{Name: "a string in series is not in parallel", Subject: "pack", Edits: series()},
	})
}
