package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestDiodeVoltageLow(t *testing.T) {
	rule := diodeVoltageLow()
	edits := rule.Example.Edits
	with := func(value string) []rules.Edit {
		return append(edits[:len(edits):len(edits)], ruletest.Edits("diodes.wheel.reverse_V", value)...)
	}
	// It blocks the coil's voltage: the house network, 14.6 V at the most.
	r := diodeScene(t, rule, with("50"), "wheel", rules.Passed)
	if r.Demand.Value < 12 || r.Demand.Value > 14.7 {
		t.Errorf("blocks %v", r.Demand)
	}
	diodeScene(t, rule, with("12"), "wheel", rules.Failed)
	if r := diodeScene(t, rule, with(""), "wheel", rules.NotChecked); r.Missing != "diodes.wheel.reverse_V" {
		t.Errorf("missing %q", r.Missing)
	}
	// In the feed it conducts while the coil is on, and has nothing to block.
	diodeScene(t, rule, diodeExample("reverse_V", "1").Edits, "apart", rules.Passed)
}
