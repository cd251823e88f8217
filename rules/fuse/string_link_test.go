package fuse

import (
	"fmt"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A gG fuse of 125 A is enough for 50 mm2, 209.8 A, on its way there and back, by itself
// (IEC 60364-4-43, 433.1): so it is for a link between the two halves of the pack, in one
// piece or over a joint, from whichever end it is written. 16 mm2, 100.4 A, is too thin.
func TestFuseOfAStringLink(t *testing.T) {
	half := `{"role": "traction", "min_V": 22.4, "nominal_V": 25.6, "max_V": 29.2, "resistance_mOhm": 7.5, "chemistry": "LFP", "series": 8, "continuous_A": 80, "peak_A": 150, "peak_s": 60}`
	wire := func(from, to, size string, m float64) string {
		return fmt.Sprintf(`{"from": %q, "to": %q, "size": %q, "length_m": %g, "insulation": {"max_C": 105, "rated_V": 600}}`, from, to, size, m)
	}
	split := func(more ...string) []rules.Edit {
		return ruletest.Edits(append([]string{"batteries.pack", half, "batteries.pack_low", half, "wires.w5.to", `"pack_low.neg"`}, more...)...)
	}
	for name, links := range map[string][]string{
		"in one piece":            {"wires.link", wire("pack_low.pos", "pack.neg", "SIZE", 0.3)},
		"from its other end":      {"wires.link", wire("pack.neg", "pack_low.pos", "SIZE", 0.3)},
		"over a joint":            {"studs.joint", `{"rated_A": 250}`, "wires.link", wire("pack_low.pos", "joint.stud", "SIZE", 0.2), "wires.on", wire("joint.stud", "pack.neg", "50 mm2", 0.1)},
		"joint, from other ends":  {"studs.joint", `{"rated_A": 250}`, "wires.link", wire("joint.stud", "pack_low.pos", "SIZE", 0.2), "wires.on", wire("pack.neg", "joint.stud", "50 mm2", 0.1)},
		"of several boxes' width": {"wires.link", wire("pack_low.pos", "pack.neg", "SIZE", 2.6)},
	} {
		t.Run(name, func(t *testing.T) {
			of := func(size string) []rules.Edit {
				sized := make([]string, len(links))
				for i, l := range links {
					sized[i] = strings.ReplaceAll(l, "SIZE", size)
				}
				return split(sized...)
			}
			for _, rule := range []*rules.Rule{slowerThanDamage(), aboveAmpacity(), farFaultSlow(), withstandShort()} {
				ruletest.Silent(t, rule, "../sound/gg-main-fuse.yaml", of("50 mm2")...)
			}
			thin := ruletest.Verdict(t, ruletest.On(t, aboveAmpacity(), "../sound/gg-main-fuse.yaml", of("16 mm2")...), "link", rules.Failed)
			if thin.Demand.Value != 125 {
				t.Errorf("%v: %s", thin.Demand, thin.Message)
			}
			ruletest.Verdict(t, ruletest.On(t, slowerThanDamage(), "../sound/gg-main-fuse.yaml", of("16 mm2")...), "link", rules.Failed)
		})
	}
}
