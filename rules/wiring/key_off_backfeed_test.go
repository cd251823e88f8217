package wiring

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestKeyOffBackfeed(t *testing.T) {
	rule := keyOffBackfeed()
	t.Run("a diode that blocks towards the key is silent", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron",
			ruletest.Edits("diodes.d1", `{"continuous_A": 3, "reverse_V": 100}`,
				"wires.d1_a", `{"from": "key.house_b", "to": "d1.anode", "size": "1.5 mm2", "length_m": 0.3}`,
				"wires.d1_b", `{"from": "d1.cathode", "to": "usb_fuse.b", "size": "1.5 mm2", "length_m": 0.3}`)...)
	})
	t.Run("the same diode reversed feeds back", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron",
			ruletest.Edits("diodes.d1", `{"continuous_A": 3, "reverse_V": 100}`,
				"wires.d1_a", `{"from": "key.house_b", "to": "d1.cathode", "size": "1.5 mm2", "length_m": 0.3}`,
				"wires.d1_b", `{"from": "d1.anode", "to": "usb_fuse.b", "size": "1.5 mm2", "length_m": 0.3}`)...)
		r := ruletest.Verdict(t, got, "key", rules.Failed)
		if len(r.Related) != 2 || !strings.HasSuffix(r.Message, "through usb_fuse, d1") {
			t.Errorf("%s; %d places, want those of the fuse and the diode", r.Message, len(r.Related))
		}
	})
	t.Run("conductors alone are named", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", ruletest.Edits("wires.bridge", `{"from": "key.house_a", "to": "key.house_b", "size": "1.5 mm2", "length_m": 0.1}`)...)
		if r := ruletest.Verdict(t, got, "key", rules.Failed); !strings.HasSuffix(r.Message, "through bridge") {
			t.Error(r.Message)
		}
	})
}
