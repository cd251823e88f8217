package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestNotIsolated(t *testing.T) {
	rule := notIsolated()
	bare := func(more []rules.Edit) []rules.Edit {
		return append(more, ruletest.Edits("converters.dcdc.isolated", "false", "converters.dcdc.isolation_V", "")...)
	}
	low := func() []rules.Edit {
		return ruletest.Edits("batteries.pack.max_V", "58.4", "batteries.pack.nominal_V", "51.2", "batteries.pack.min_V", "44.8",
			"converters.dcdc.input.min_V", "36", "converters.dcdc.input.stop_V", "35", "converters.dcdc.input.start_V", "39")
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "isolated", Want: ruletest.Want{Verdict: rules.Passed, Demand: 2*109.5 + 1000, Capability: 1500}},
		{Name: "not isolated above 60 V", Edits: bare(ruletest.Edits()), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "class A needs none", Edits: bare(low()), Want: ruletest.Want{Verdict: rules.Passed}},
		// Nominal 57.6 V, but 67.2 V at the end of charge: class B.
		{Name: "decided by the highest working voltage", Edits: bare(ruletest.Edits("batteries.pack.max_V", "67.2", "batteries.pack.nominal_V", "57.6", "batteries.pack.min_V", "48",
			"converters.dcdc.input.min_V", "36", "converters.dcdc.input.stop_V", "35", "converters.dcdc.input.start_V", "39")), Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "tested with no more than the working voltage", Edits: ruletest.Edits("converters.dcdc.isolation_V", "110"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 1219, Capability: 110}},
		// 4.70 x 109.5 V = 514.7 V.
		{Name: "tested with what it does not hold for years", Edits: ruletest.Edits("converters.dcdc.isolation_V", "500"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 1219, Capability: 500}},
		{Name: "tested with less than basic insulation is", Edits: ruletest.Edits("converters.dcdc.isolation_V", "1000"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 1219, Capability: 1000, Fix: "at least 1220 V"}},
		{Name: "rated for the working voltage", Edits: ruletest.Edits("converters.dcdc.isolation_V", "1000", "converters.dcdc.isolation_working_V", "120"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 109.5, Capability: 120}},
		{Name: "rated for less", Edits: ruletest.Edits("converters.dcdc.isolation_working_V", "60"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 109.5, Capability: 60}},
		{Name: "class A asks for no test voltage", Edits: low(), Want: ruletest.Want{Verdict: rules.Passed, Demand: 58.4, Capability: 1500}},
		{Name: "isolation not given", Edits: ruletest.Edits("converters.dcdc.isolation_V", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "converters.dcdc.isolation_V"}},
	})
}
