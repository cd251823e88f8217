package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestLimitedSourceUnprotected(t *testing.T) {
	fixture.Play(t, limitedSourceUnprotected(), []ruletest.Scene{
		// 6 mm2 carries 54 A at 70 C and 30 C by DIN VDE 0298-4, 58 A here.
		{Name: "carries the limit", Subject: "house_pos", Want: ruletest.Want{Verdict: rules.Passed, Demand: 25, Capability: 58, Relative: 0.15}},
		{Name: "thinner than the limit", Subject: "lamp_pos", Edits: ruletest.Edits("wires.lamp_pos.size", `"0.5 mm2"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 25, Capability: 13, Relative: 0.2, Fix: "put a fuse of at most"}},
		{Name: "no limit stated: 1.1 times the continuous current", Subject: "house_pos", Edits: ruletest.Edits("converters.dcdc.output.limit_A", ""),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 22, Capability: 58, Relative: 0.15}},
		{Name: "a fuse of its own", Subject: "lamp_pos",
			Edits: ruletest.Edits("wires.lamp_pos.size", `"0.5 mm2"`, "fuses.small", `{"class": "blade", "rated_A": 5, "rated_V_dc": 32, "breaking_A_dc": 1000}`,
				"wires.house_pos.to", `"small.a"`, "wires.fused", `{"from": "small.b", "to": "light.lamp_a", "size": "6 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 60}}`)},
		{Name: "a battery's own wire is no subject", Subject: "out"},
		{Name: "the insulation says nothing: taken for PVC", Subject: "house_pos", Edits: ruletest.Edits("wires.house_pos.insulation.max_C", ""),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 25, Capability: 41.44}},
		{Name: "two converters side by side", Subject: "house_pos",
			Edits: ruletest.Edits("converters.second", `{"input": {"min_V": 60, "max_V": 130}, "output": {"nominal_V": 13.8, "continuous_A": 20, "limit_A": 40}, "isolated": true}`,
				"wires.s1", `{"from": "feed.b", "to": "second.in_pos", "size": "4 mm2", "length_m": 1, "insulation": {"max_C": 125, "rated_V": 600}}`,
				"wires.s2", `{"from": "second.in_neg", "to": "ground.stud", "size": "4 mm2", "length_m": 1, "insulation": {"max_C": 125, "rated_V": 600}}`,
				"wires.s3", `{"from": "second.out_pos", "to": "dcdc.out_pos", "size": "16 mm2", "length_m": 1, "insulation": {"max_C": 105, "rated_V": 60}}`,
				"wires.s4", `{"from": "second.out_neg", "to": "dcdc.out_neg", "size": "16 mm2", "length_m": 1, "insulation": {"max_C": 105, "rated_V": 60}}`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 65, Message: "dcdc and second"}},
	})
}
