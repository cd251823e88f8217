package record

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestSourceMissing(t *testing.T) {
	rule := sourceMissing()
	got := ruletest.On(t, rule, "heron",
		ruletest.Edits("fuses.extra", `{"class": "blade", "rated_A": 5}`,
			"fuses.carried", `{"class": "blade", "rated_A": 5, "spare": true}`,
			"loads.pump", `{"kind": "motor", "power_W": 20, "at_V": 13}`)...)
	ruletest.Verdict(t, got, "extra", rules.Failed)
	for _, id := range []string{"carried", "pump", "w_aux_pos"} {
		if _, asked := got[id]; asked {
			t.Errorf("%s is asked for its datasheet", id)
		}
	}
}
