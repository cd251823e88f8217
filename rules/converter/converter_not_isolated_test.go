package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestNotIsolated(t *testing.T) {
	rule := notIsolated()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	bare := func(more edits) edits {
		more["converters.dcdc.isolated"], more["converters.dcdc.isolation_V"] = "false", ""
		return more
	}
	low := func() edits {
		return edits{"batteries.pack.max_V": "58.4", "batteries.pack.nominal_V": "51.2", "batteries.pack.min_V": "44.8",
			"converters.dcdc.input.min_V": "36", "converters.dcdc.input.stop_V": "35", "converters.dcdc.input.start_V": "39"}
	}
	play(t, rule, []scene{
		{"isolated", nil, "", outcome{verdict: rules.Passed, demand: 109.5, capability: 1500}},
		{"not isolated above 60 V", bare(edits{}), "", outcome{verdict: rules.Failed, level: rules.Error}},
		{"class A needs none", bare(low()), "", outcome{verdict: rules.Passed}},
		// Nominal 57.6 V, but 67.2 V at the end of charge: class B.
		{"decided by the highest working voltage", bare(edits{"batteries.pack.max_V": "67.2", "batteries.pack.nominal_V": "57.6", "batteries.pack.min_V": "48",
			"converters.dcdc.input.min_V": "36", "converters.dcdc.input.stop_V": "35", "converters.dcdc.input.start_V": "39"}), "", outcome{verdict: rules.Failed}},
		{"isolation too weak", edits{"converters.dcdc.isolation_V": "100"}, "", outcome{verdict: rules.Failed, demand: 109.5, capability: 100}},
		{"isolation not given", edits{"converters.dcdc.isolation_V": ""}, "", outcome{verdict: rules.NotChecked, missing: "converters.dcdc.isolation_V"}},
	})
}
