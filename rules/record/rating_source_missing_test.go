package record

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestSourceMissing(t *testing.T) {
	rule := sourceMissing()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	got := ruletest.On(t, rule, "heron",
		rules.Edit{Path: "fuses.extra", Value: `{"class": "blade", "rated_A": 5}`},
		rules.Edit{Path: "fuses.carried", Value: `{"class": "blade", "rated_A": 5, "spare": true}`},
		rules.Edit{Path: "loads.pump", Value: `{"kind": "motor", "power_W": 20, "at_V": 13}`})
	ruletest.Verdict(t, got, "extra", rules.Failed)
	for _, id := range []string{"carried", "pump", "w_aux_pos"} {
		if _, asked := got[id]; asked {
			t.Errorf("%s is asked for its datasheet", id)
		}
	}
}
