package record

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPolicyWeakened(t *testing.T) {
	tuned := []*rules.Rule{{ID: "fuse-voltage-low", Level: rules.Error, Required: 1}, {ID: "coil-hold-low", Level: rules.Warning, Required: 1.1}}
	rule := policyWeakened(tuned)
	got := ruletest.On(t, rule, "heron",
		ruletest.Edits("policy.required.fuse-voltage-low", "1.25",
			"policy.required.coil-hold-low", "1.05",
			"policy.levels.fuse-voltage-low", `"warning"`,
			"policy.levels.coil-hold-low", `"error"`)...)
	same := ruletest.On(t, rule, "heron", ruletest.Edits("policy.required.coil-hold-low", "1.1", "policy.levels.coil-hold-low", `"warning"`)...)
	ruletest.Verdict(t, same, "policy.required.coil-hold-low", rules.Passed)
	ruletest.Verdict(t, same, "policy.levels.coil-hold-low", rules.Passed)
	ruletest.Verdict(t, got, "policy.required.fuse-voltage-low", rules.Passed)
	ruletest.Verdict(t, got, "policy.levels.coil-hold-low", rules.Passed)
	for subject, want := range map[string]string{
		"policy.required.coil-hold-low":  "policy.required.coil-hold-low requires a headroom of 1.05; the rule's default is 1.1",
		"policy.levels.fuse-voltage-low": "policy.levels.fuse-voltage-low makes findings of the rule warnings; its default level is error",
	} {
		if r := ruletest.Verdict(t, got, subject, rules.Failed); r.Message != want || r.Level != rules.Note {
			t.Errorf("%s %q, want note %q", r.Level, r.Message, want)
		}
	}
}
