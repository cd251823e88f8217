package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"fmt"
	"os"
	"testing"
)

func TestProbe(t *testing.T) {
	for _, v := range []string{"heron", "mole", "badger"} {
		s := ruletest.Edited(t, v, nil)
		for _, r := range rules.Run(s, Rules()) {
			if os.Getenv("ALL") == "" && r.Verdict == rules.Passed {
				continue
			}
			fmt.Printf("%s %s %s %s: %.2f %s | fix %s | missing %s primary %s\n", v, r.Verdict, r.Rule, r.Subject, r.Headroom, r.Message, r.Fix, r.Missing, r.Primary)
		}
	}
}
func TestExamples(t *testing.T) {
	for _, r := range Rules() {
		t.Run(r.ID, func(t *testing.T) { ruletest.Example(t, r) })
	}
}
