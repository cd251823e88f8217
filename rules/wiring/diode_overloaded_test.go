package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// diodeScene plays one rule on a diode in the feed of heron's main contactor.
func diodeScene(t *testing.T, rule *rules.Rule, edits []rules.Edit, subject string, want rules.Verdict) rules.Result {
	t.Helper()
	return ruletest.Verdict(t, ruletest.On(t, rule, "heron", edits...), subject, want)
}

func TestDiodeOverloaded(t *testing.T) {
	rule := diodeOverloaded()
	edits := diodeExample("continuous_A", "3").Edits
	r := diodeScene(t, rule, edits, "apart", rules.Passed)
	// The coil of the contactor is fed through it, cold.
	spec := ruletest.Edited(t, "heron", edits)
	cold := 1 + 0.00393*(spec.Vehicle.AmbientC.Min-20)
	want := spec.Batteries["aux"].MaxV / (cold * spec.Contactors["main_contactor"].Coil.ResistanceOhm.Value)
	if r.Demand.Value > want || r.Demand.Value < 0.85*want { // less the diode's own drop and that of the way
		t.Errorf("%v, by hand %.3f A at the most", r.Demand, want)
	}
	r = diodeScene(t, rule, append(edits, ruletest.Edits("diodes.apart.continuous_A", "")...), "apart", rules.NotChecked)
	if r.Missing != "diodes.apart.continuous_A" {
		t.Errorf("missing %q", r.Missing)
	}
	// Across the coil it carries nothing while the coil is fed.
	diodeScene(t, rule, diodeVoltageLow().Example.Edits, "wheel", rules.Passed)
}
