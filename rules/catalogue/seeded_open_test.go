package catalogue_test

import (
	"slices"
	"testing"
)

// openFault is a finding beside the expected one that physics does not justify:
// a fault of the rule that is not mended yet. The list may only grow shorter; an
// entry that no mutant needs any more fails the test.
type openFault struct {
	kinds  []string // of mutations
	extras []string // rules of the findings
	fault  string   // what the rule does wrong
}

func openFaults() []openFault {
	tap := []string{"fuse-above-ampacity", "fuse-slower-than-damage", "fuse-withstand-short"}
	return []openFault{
		{[]string{"a thin and long bar", "a thin and long bar on a longer hill", "a pre-charge without its relay"}, tap,
			"a short tap to a pre-charge resistor is measured from the fuse before the bars, and not from where the thin wire begins"},
		{[]string{"a pack of more cells"}, tap,
			"a series resistor whose V/R the wire bears does not count as protection above policy.precharge_bypass_A"},
		{[]string{"a wire left out"}, []string{"supply-collapses", "conductor-peak-hot"},
			"with a contactor that no mode closes the controller's draw is taken through the pre-charge resistor"},
	}
}

// openFor finds the open fault that a finding is due to.
func openFor(kind, extra string) (string, bool) {
	for _, f := range openFaults() {
		if slices.Contains(f.kinds, kind) && slices.Contains(f.extras, extra) {
			return f.fault, true
		}
	}
	return "", false
}

// checkStillOpen fails for an open fault that nothing shows any more.
func checkStillOpen(t *testing.T, outcomes []outcome) {
	t.Helper()
	seen := map[string]bool{}
	for _, o := range outcomes {
		for _, f := range o.faulty {
			seen[f] = true
		}
	}
	for _, f := range openFaults() {
		if !seen[f.fault] {
			t.Errorf("mended, so take it off the list: %s", f.fault)
		}
	}
}
