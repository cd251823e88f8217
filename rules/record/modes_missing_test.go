package record

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestModesMissing(t *testing.T) {
	rule := modesMissing()
	ruletest.Silent(t, rule, "heron")
	for content, want := range map[string]string{
		"headroom: 1\nvehicle: {name: Bare, use: off-road, chassis: isolated}\n":                 "the specification has no parts, so nothing is checked",
		"headroom: 1\nvehicle: {name: Bare, use: off-road, chassis: isolated}\nstuds: {a: {}}\n": "the specification has no modes, so nothing is checked in use",
	} {
		spec := ruletest.Load(t, ruletest.Write(t, t.TempDir(), "bare.yaml", content))
		for _, r := range ruletest.Run(t, spec, []*rules.Rule{rule}) {
			if r.Verdict != rules.Failed || r.Message != want {
				t.Errorf("%s %q, want %q", r.Verdict, r.Message, want)
			}
		}
	}
}
