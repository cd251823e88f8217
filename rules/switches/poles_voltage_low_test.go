package switches

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPolesVoltageLow(t *testing.T) {
	rule := polesVoltageLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the sum of both", Subject: "key", Want: ruletest.Want{Verdict: rules.Passed, Demand: 98.4, Capability: 300}}, // 84 V + 14.4 V
		{Name: "enough for the pack alone", Subject: "key", Edits: ruletest.Edits("switches.key.between_poles_V", "90"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 98.4, Capability: 90}},
		{Name: "a test voltage instead", Subject: "key", Edits: ruletest.Edits("switches.key.between_poles_V", "", "switches.key.between_poles_test_V", "1500"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 1196.8, Capability: 1500}},
		{Name: "too low a test voltage", Subject: "key", Edits: ruletest.Edits("switches.key.between_poles_V", "", "switches.key.between_poles_test_V", "500"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 1196.8, Capability: 500}},
		// drive 84 V, house 14.4 V, middle 28.8 V: 112.8 V between the first and the last.
		{Name: "of three networks the worst pair", Subject: "key", Edits: slices.Concat(ruletest.Edits("switches.key.poles.middle", "{}",
			"batteries.mid", `{"role": "auxiliary", "min_V": 22, "nominal_V": 24, "max_V": 28.8, "resistance_mOhm": 5}`, "loads.bell", `{"kind": "resistive", "power_W": 24, "at_V": 24}`),
			lead("t1", "mid.pos", "key.middle_a"), lead("t2", "key.middle_b", "bell.pos"), lead("t3", "bell.neg", "mid.neg")),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 112.8, Capability: 300}},
		{Name: "not given", Subject: "key", Edits: ruletest.Edits("switches.key.between_poles_V", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "switches.key.between_poles_V"}},
		{Name: "both of voltage class A", Subject: "key", Edits: ruletest.Edits("switches.key.between_poles_V", "", "batteries.pack.min_V", "40", "batteries.pack.nominal_V", "51.2", "batteries.pack.max_V", "58.4"),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "voltage class A"}},
		{Name: "below 60 V, but less than the sum of 58.4 V and 14.4 V", Subject: "key", Edits: ruletest.Edits("switches.key.between_poles_V", "60", "batteries.pack.min_V", "40", "batteries.pack.nominal_V", "51.2", "batteries.pack.max_V", "58.4"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 72.8, Capability: 60}},
		{Name: "one network", Subject: "key", Edits: append(ruletest.Edits("switches.key.between_poles_V", ""), lead("x", "aux.neg", "pack.neg")...), Want: ruletest.Want{Verdict: rules.Passed, Message: "one network"}},
		{Name: "one network: the higher of both", Subject: "key", Edits: append(ruletest.Edits("switches.key.between_poles_V", "90"), lead("x", "aux.neg", "pack.neg")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 84, Capability: 90}},
		{Name: "one network, insulated for the house alone", Subject: "key", Edits: append(ruletest.Edits("switches.key.between_poles_V", "30"), lead("x", "aux.neg", "pack.neg")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 84, Capability: 30}},
		{Name: "one pole", Subject: "lights"},
		{Name: "an unused second pole", Subject: "lights", Edits: ruletest.Edits("switches.lights.poles.other", `{}`)},
	})
}
