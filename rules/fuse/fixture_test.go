package fuse

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

var fixture = ruletest.Fixture{File: "testdata/fixture.yaml"}

func TestFamily(t *testing.T) {
	ruletest.Family(t, Rules(), ruletest.Except{
		Notes:    []string{"fuse-controller-mismatch"},
		Gaps:     []string{"fuse-not-selective", "fuse-spare-missing", "fuse-unreachable"},
		Fixtures: []string{"fuse-spare-missing", "fuse-unreachable"},
	}, fixture)
}

// A spare fuse is no subject of any rule.
func TestSpare(t *testing.T) {
	spare := fixture.Spec(t, ruletest.Edits("fuses.spare", `{"class": "blade", "rated_A": 5, "spare": true}`)...)
	for _, r := range ruletest.Run(t, spare, Rules()) {
		if r.Subject == "spare" {
			t.Errorf("a spare fuse has a result: %s: %s", r.Rule, r.Message)
		}
	}
}
