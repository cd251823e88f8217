package wiring

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestParallelPackUnfused(t *testing.T) {
	rule := parallelPackUnfused()
	const packs = "../sound/parallel-packs.yaml"
	wire := func(from, to, length string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "50 mm2", "length_m": ` + length + `, "insulation": {"max_C": 105, "rated_V": 600}}`
	}
	t.Run("each with a fuse of its own", func(t *testing.T) {
		got := ruletest.On(t, rule, packs)
		for _, id := range []string{"pack", "pack2"} {
			ruletest.Verdict(t, got, id, rules.Passed)
		}
	})
	t.Run("one without", func(t *testing.T) {
		got := ruletest.On(t, rule, packs, ruletest.Edits("fuses.main2", "", "wires.w20", "", "wires.w21", wire("pack2.pos", "isolator.a", "0.15"))...)
		ruletest.Verdict(t, got, "pack", rules.Passed)
		if r := ruletest.Verdict(t, got, "pack2", rules.Failed); !strings.Contains(r.Message, "in parallel with pack and has no fuse of its own") {
			t.Error(r.Message)
		}
	})
	t.Run("one fuse for both", func(t *testing.T) {
		got := ruletest.On(t, rule, packs, ruletest.Edits("fuses.main2", "", "wires.w20", "", "wires.w21", wire("pack2.pos", "pack.pos", "0.15"))...)
		for _, id := range []string{"pack", "pack2"} {
			ruletest.Verdict(t, got, id, rules.Failed)
		}
	})
	t.Run("in the negative, or inside", func(t *testing.T) {
		negative := ruletest.Edits("wires.w20", "", "wires.w21", wire("pack2.pos", "isolator.a", "0.15"),
			"wires.w22", wire("pack2.neg", "main2.a", "0.1"), "wires.w23", wire("main2.b", "pack.neg", "0.2"))
		ruletest.Verdict(t, ruletest.On(t, rule, packs, negative...), "pack2", rules.Passed)
		inside := ruletest.Edits("fuses.main2", "", "wires.w20", "", "wires.w21", wire("pack2.pos", "isolator.a", "0.15"), "batteries.pack2.internal_fuse_A", "125")
		ruletest.Verdict(t, ruletest.On(t, rule, packs, inside...), "pack2", rules.Passed)
	})
	t.Run("batteries in series are not in parallel", func(t *testing.T) {
		if got := ruletest.On(t, rule, "../sound/series-string.yaml"); len(got) > 0 {
			t.Errorf("%v", got)
		}
	})
}
