package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A short circuit of one battery of a string through its own link is not in the loop
// of the fuse in the middle: what the fuse carries of it is what leaks through the
// bleeder of the controller, 1.5 mA, and no measure of how fast it opens.
func TestMidStringFuse(t *testing.T) {
	edits := ruletest.Edits("wires.w1.to", `"isolator.a"`, "wires.w1.length_m", "0.45", "wires.w2", "",
		"wires.l2.to", `"main.a"`, "wires.l2.length_m", "0.1",
		"wires.l4", `{"from": "main.b", "to": "b3.pos", "size": "50 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`)
	for _, rule := range []*rules.Rule{farFaultSlow(), withstandShort(), slowerThanDamage(), aboveAmpacity()} {
		ruletest.Silent(t, rule, "../sound/series-string.yaml", edits...)
	}
}
