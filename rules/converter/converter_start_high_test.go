package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestStartHigh(t *testing.T) {
	rule := startHigh()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	play(t, rule, []scene{
		{"starts on an empty pack", nil, "", outcome{verdict: rules.Passed, demand: 66, capability: 75}},
		{"does not", edits{"converters.dcdc.input.start_V": "76"}, "", outcome{verdict: rules.Failed, level: rules.Warning, demand: 76, capability: 75}},
		{"not given", edits{"converters.dcdc.input.start_V": ""}, "", outcome{verdict: rules.NotChecked, missing: "converters.dcdc.input.start_V"}},
	})
}
