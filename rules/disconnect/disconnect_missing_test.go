package disconnect

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestDisconnectMissing(t *testing.T) {
	rule := disconnectMissing()
	soundAreSilent(t, rule)
	// Without the disconnect: the two cables meet at the contactor and the pack.
	without := []rules.Edit{drop("disconnects"), set("wires.w1.to", `"k.a"`), drop("wires.w2"), set("wires.w4.to", `"pack.neg"`), drop("wires.w5"),
		set("modes.drive.closed", `["key"]`)}
	ruletest.Play(t, rule, bench, []ruletest.Scene{
		{Name: "there is one", Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed, Message: "disconnected by iso"}},
		{Name: "none", Subject: "pack", Edits: without, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "no disconnect separates pack"}},
		{Name: "the battery's own plug", Subject: "pack", Edits: append(without, set("batteries.pack.pluggable", "true")),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "its plug"}},
		{Name: "one in a drawer", Subject: "pack", Edits: append(without, set("disconnects.other", `{"spare": true}`)), Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "one that everything goes past", Subject: "pack", Edits: []rules.Edit{set("wires.past", `{"from": "pack.pos", "to": "k.a", "size": "70 mm2", "length_m": 0.1}`),
			set("disconnects.iso.poles", "1"), set("wires.w4.to", `"pack.neg"`), drop("wires.w5")},
			Want: ruletest.Want{Verdict: rules.Failed, Message: "leads round iso", Fix: "joins both sides of iso: take it away"}},
		{Name: "in the negative side", Subject: "pack", Edits: []rules.Edit{set("disconnects.iso.poles", "1"),
			set("wires.w1.to", `"k.a"`), drop("wires.w2"), set("wires.w4.to", `"iso.b"`), set("wires.w5.from", `"iso.a"`)},
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "an auxiliary battery needs none", Subject: "aux"},
		{Name: "two that only together cut it off", Subject: "pack", Edits: []rules.Edit{set("disconnects.second", `{"carry_A": 100}`), set("disconnects.iso.poles", "1"),
			set("wires.w4.to", `"pack.neg"`), drop("wires.w5"),
			set("wires.s1", `{"from": "pack.pos", "to": "second.a", "size": "70 mm2", "length_m": 0.1}`),
			set("wires.s2", `{"from": "second.b", "to": "k.a", "size": "70 mm2", "length_m": 0.1}`)},
			Want: ruletest.Want{Verdict: rules.Passed, Message: "iso, second"}},
		{Name: "a pack that feeds nothing", Subject: "pack", Edits: []rules.Edit{drop("wires.w3"), drop("wires.w4")},
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "something that pack feeds"}},
	})
}
