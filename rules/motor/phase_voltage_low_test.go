package motor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPhaseVoltageLow(t *testing.T) {
	fixture.Play(t, phaseVoltageLow(), []ruletest.Scene{
		{Name: "the motor", Subject: "wheel", Want: ruletest.Want{Verdict: rules.Passed, Demand: 58.4, Capability: 72}},
		{Name: "a cable", Subject: "u", Want: ruletest.Want{Verdict: rules.Passed, Demand: 58.4, Capability: 600}},
		{Name: "a motor for less", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.rated_V", "48"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 58.4, Capability: 48}},
		{Name: "a cable for less", Subject: "v", Edits: ruletest.Edits("wires.v.insulation.rated_V", "50"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 58.4, Capability: 50}},
		{Name: "a motor that states nothing", Subject: "wheel", Edits: ruletest.Edits("motors.wheel.rated_V", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "motors.wheel.rated_V"}},
		{Name: "a cable that states nothing", Subject: "v", Edits: ruletest.Edits("wires.v.insulation.rated_V", ""), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "above 60 V", Subject: "v", Edits: ruletest.Edits("wires.v.insulation.rated_V", "", "batteries.pack.max_V", "66", "batteries.pack.nominal_V", "60", "batteries.pack.series", "18"),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "wires.v.insulation.rated_V"}},
		{Name: "a cable of the battery", Subject: "w2"},
	})
}
