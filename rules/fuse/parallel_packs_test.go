package fuse

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Three packs of 84 V and 18 mOhm, each with a fuse, row WF47 of the worked examples:
// into a fault between the first and its fuse the two others drive 9333 A, less what
// the cables leave of it. The lead between that fuse and the others carries up to the
// sum of their fuses.
func TestThreePacks(t *testing.T) {
	const packs = "../sound/parallel-packs.yaml"
	wire := func(from, to, size, length string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "` + size + `", "length_m": ` + length + `, "insulation": {"max_C": 105, "rated_V": 600}}`
	}
	pack := `{"role": "traction", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": {"min": 18, "typ": 25}}`
	three := func(more ...string) []rules.Edit {
		return ruletest.Edits(append([]string{"batteries.pack", pack, "batteries.pack2", pack, "batteries.pack3", pack,
			"fuses.main3", `{"class": "bolt-down", "rated_A": 125, "rated_V_dc": 100, "breaking_A_dc": 8000}`,
			"fuses.main.rated_V_dc", "100", "fuses.main2.rated_V_dc", "100", "fuses.main.breaking_A_dc", "8000", "fuses.main2.breaking_A_dc", "8000",
			"wires.w1.length_m", "0.01", "wires.w2", wire("main.b", "isolator.a", "120 mm2", "0.01"), "wires.w20.length_m", "0.01", "wires.w21.length_m", "0.01",
			"wires.w22", wire("pack2.neg", "pack.neg", "120 mm2", "0.01"),
			"wires.w30", wire("pack3.pos", "main3.a", "120 mm2", "0.01"), "wires.w31", wire("main3.b", "isolator.a", "120 mm2", "0.01"),
			"wires.w32", wire("pack3.neg", "pack.neg", "120 mm2", "0.01")}, more...)...)
	}
	breaking := ruletest.Verdict(t, ruletest.On(t, breakingLow(), packs, three()...), "main", rules.Failed)
	if i := breaking.Demand.Value; i > 9333.4 || i < 0.95*9333.3 {
		t.Errorf("%v A into the first pack: %s", i, breaking.Message)
	}
	leads := func(size string) map[string]rules.Result {
		return ruletest.On(t, aboveAmpacity(), packs, three("wires.w2.size", `"`+size+`"`, "wires.w2.length_m", "0.5")...)
	}
	if r := ruletest.Verdict(t, leads("50 mm2"), "w2", rules.Failed); r.Demand.Value != 250 || !strings.Contains(r.Message, "main2 and the 125 A fuse main3, together 250 A") {
		t.Errorf("the lead of the first pack: %v: %s", r.Demand, r.Message)
	}
	ruletest.Verdict(t, leads("120 mm2"), "w2", rules.Passed)
}
