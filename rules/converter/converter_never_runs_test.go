package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestNeverRuns(t *testing.T) {
	rule := neverRuns()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	play(t, rule, []scene{
		{"runs", nil, "", outcome{verdict: rules.Passed}},
		{"no mode feeds it", edits{"modes.night.closed": `["lights"]`, "modes.sounding.closed": `["lights"]`}, "", outcome{verdict: rules.Failed, level: rules.Warning}},
		{"enable held up by the key", edits{"wires.w60": `{"from": "main.drive_b", "to": "dcdc.enable", "size": "1.5 mm2", "length_m": 0.1}`}, "", outcome{verdict: rules.Passed}},
		{"enable on the wrong side", edits{"wires.w60": `{"from": "pack.neg", "to": "dcdc.enable", "size": "1.5 mm2", "length_m": 0.1}`}, "", outcome{verdict: rules.Failed}},
	})
}
