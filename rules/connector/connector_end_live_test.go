package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestEndLive(t *testing.T) {
	fixture.Play(t, endLive(), []ruletest.Scene{
		{Name: "shrouded", Want: ruletest.Want{Verdict: rules.Passed, Message: "half a stays at 84 V"}},
		{Name: "open", Edits: ruletest.Edits("connectors.plug.unmated.a", `"open"`), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "open pins on the load side", Edits: ruletest.Edits("connectors.plug.unmated.b", `"open"`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a second pack on the other side, open there", Edits: ruletest.Edits("connectors.plug.unmated.b", `"open"`,
			"batteries.other", `{"role": "traction", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": 25}`,
			"wires.o1", `{"from": "other.pos", "to": "main.a", "size": "35 mm2", "length_m": 0.2}`, "wires.o2", `{"from": "other.neg", "to": "plug.b2", "size": "35 mm2", "length_m": 0.2}`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "half b"}},
		{Name: "not given", Edits: ruletest.Edits("connectors.plug.unmated", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.unmated.a"}},
		{Name: "lamps the wrong way round", Subject: "lamp_plug", Edits: ruletest.Edits("connectors.lamp_plug.unmated.a", `"open"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		// A pole of its own on a plug of one pole: 84 V to the other plug, whichever is parted.
		{Name: "one pole, open", Edits: single("open", "open"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "half a stays at 84 V"}},
		{Name: "the other pole, open", Subject: "minus", Edits: single("ipxxb", "open"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "half a stays at 84 V"}},
		{Name: "one pole, shrouded", Edits: single("ipxxb", "open"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a pack of 56 V, both open", Edits: append(single("open", "open"), ruletest.Edits("batteries.pack.min_V", "40", "batteries.pack.nominal_V", "48", "batteries.pack.max_V", "56")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "half a stays at 56 V"}},
		{Name: "a pack of 56 V, one open", Subject: "minus", Edits: append(single("ipxxb", "open"), ruletest.Edits("batteries.pack.min_V", "40", "batteries.pack.nominal_V", "48", "batteries.pack.max_V", "56")...),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}

// single are edits that put each pole of the pack on a plug of its own, plug and minus, with
// halves at the pack that can be touched as told.
func single(plus, minus string) []rules.Edit {
	one := func(touch string) string {
		return `{"use": "battery", "contacts": [{"carry_A": 120, "rated_V_dc": 100}], "breaks": "none", "lock": "latch", "mating_cycles": 500, "unmated": {"a": "` + touch + `", "b": "ipxxb"}}`
	}
	return ruletest.Edits("connectors.plug", one(plus), "connectors.minus", one(minus), "wires.w5.to", `"minus.b1"`, "wires.w6.from", `"minus.a1"`,
		"wires.c2.to", `"key.p_a"`, "wires.c3", "")
}
