package record

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPolicyRuleUnknown(t *testing.T) {
	rule := policyRuleUnknown([]string{"fuse-voltage-low"})
	got := ruletest.On(t, rule, "heron",
		ruletest.Edits("policy.levels.fuse-voltage-lo", `"note"`,
			"policy.levels.fuse-voltage-low", `"warning"`,
			"policy.required.fuse-voltage-low", "1.2")...)
	r := ruletest.Verdict(t, got, "policy.levels.fuse-voltage-lo", rules.Failed)
	if want := "policy.levels.fuse-voltage-lo has no effect: there is no rule fuse-voltage-lo"; r.Message != want {
		t.Errorf("message %q, want %q", r.Message, want)
	}
	ruletest.Verdict(t, got, "policy.levels.fuse-voltage-low", rules.Passed)
	ruletest.Verdict(t, got, "policy.required.fuse-voltage-low", rules.Passed)
}
