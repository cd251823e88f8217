package record

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestSpareInUse(t *testing.T) {
	rule := spareInUse()
	got := ruletest.On(t, rule, "heron",
		ruletest.Edits("fuses.carried", `{"class": "blade", "rated_A": 5, "spare": true}`,
			"loads.lamp", `{"kind": "led", "power_W": 5, "at_V": 13, "spare": true}`,
			"modes.odd", `{"on": ["lamp"]}`)...)
	ruletest.Verdict(t, got, "carried", rules.Passed)
	r := ruletest.Verdict(t, got, "lamp", rules.Failed)
	if want := "lamp is marked spare but is used in a mode: none of its ratings is checked"; r.Message != want {
		t.Errorf("message %q, want %q", r.Message, want)
	}
}
