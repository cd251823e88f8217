package fuse

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

const seriesString = "../sound/series-string.yaml"

// Batteries in series carry one current, so that a fuse inside one of them is in series
// with the main fuse and the others' own fuses, and no second feed: 50 mm2 at 209.8 A
// suits a main fuse of 125 A, and by itself the smallest of those inside.
func TestFusesInsideAString(t *testing.T) {
	t.Run("beside the main fuse", func(t *testing.T) {
		for _, id := range []string{"b1", "b2", "b4"} {
			// 400 A are more than a link of 209.8 A bears, but the main fuse is in its loop.
			for _, amps := range []string{"175", "400"} {
				ruletest.Silent(t, aboveAmpacity(), seriesString, ruletest.Edits("batteries."+id+".internal_fuse_A", amps)...)
			}
		}
	})
	unfused := func(more ...string) []rules.Edit {
		return ruletest.Edits(append([]string{"fuses.main", "", "wires.w1.to", `"isolator.a"`, "wires.w1.length_m", "0.45", "wires.w2", ""}, more...)...)
	}
	for _, test := range []struct {
		name   string
		inside []string // fuses inside, by battery
		id     string
		want   float64 // what the conductor must carry; 0 for none that protects it
	}{
		{"one for all", []string{"b3", "175"}, "w4", 175},
		{"of two the smaller governs", []string{"b1", "200", "b3", "175"}, "w4", 175},
		{"and on the return", []string{"b1", "200", "b3", "175"}, "w5", 175},
		{"a link, of the loop that both are in", []string{"b2", "200", "b4", "175"}, "l1", 175},
		{"a link below the only one, in no loop of those that are lower", []string{"b1", "175"}, "l2", 175},
	} {
		t.Run(test.name, func(t *testing.T) {
			var more []string
			for i := 0; i < len(test.inside); i += 2 {
				more = append(more, "batteries."+test.inside[i]+".internal_fuse_A", test.inside[i+1])
			}
			r := ruletest.Verdict(t, ruletest.On(t, aboveAmpacity(), seriesString, unfused(more...)...), test.id, rules.Passed)
			if r.Demand.Value != test.want {
				t.Errorf("%v for a fuse of %v A: %s", r.Demand, test.want, r.Message)
			}
		})
	}
	t.Run("the lamp's tap between the batteries, by those that feed it", func(t *testing.T) {
		// b4 feeds the lamp through its own 100 A alone; b1's 60 A are in no loop of it.
		edits := unfused("batteries.b1.internal_fuse_A", "60", "batteries.b4.internal_fuse_A", "100",
			"loads.lamp", `{"kind": "led", "power_W": 10, "at_V": 12.8}`,
			"wires.tap", `{"from": "b4.pos", "to": "lamp.pos", "size": "2.5 mm2", "length_m": 1.5, "insulation": {"max_C": 105, "rated_V": 600}}`,
			"wires.tap_back", `{"from": "lamp.neg", "to": "b4.neg", "size": "2.5 mm2", "length_m": 1.5, "insulation": {"max_C": 105, "rated_V": 600}}`)
		r := ruletest.Verdict(t, ruletest.On(t, aboveAmpacity(), seriesString, edits...), "tap", rules.Failed)
		if r.Demand.Value != 100 || !strings.Contains(r.Message, "the 100 A fuse inside b4") {
			t.Errorf("%v: %s", r.Demand, r.Message)
		}
	})
}
