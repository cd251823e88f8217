package disconnect

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestDisconnectMissing(t *testing.T) {
	rule := disconnectMissing()
	// Without the disconnect: the two cables meet at the contactor and the pack.
	without := ruletest.Edits("disconnects", "", "wires.w1.to", `"k.a"`, "wires.w2", "", "wires.w4.to", `"pack.neg"`, "wires.w5", "",
		"modes.drive.closed", `["key"]`)
	plugged := func(plug string) []rules.Edit {
		return append(without[:len(without):len(without)], ruletest.Edits("connectors.plug", plug, "wires.w1.to", `"plug.a1"`,
			"wires.w2", `{"from": "plug.b1", "to": "k.a", "size": "70 mm2", "length_m": 0.5}`)...)
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "there is one", Subject: "pack", Want: ruletest.Want{Verdict: rules.Passed, Message: "disconnected by iso"}},
		{Name: "none", Subject: "pack", Edits: without, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "pack: no disconnect separates it"}},
		{Name: "the battery's own plug", Subject: "pack", Edits: append(without, ruletest.Edits("batteries.pack.pluggable", "true")...),
			Want: ruletest.Want{Verdict: rules.AsDeclared, Message: "its plug, once k has opened"}},
		{Name: "its plug, with a contactor that is not known to break", Subject: "pack",
			Edits: append(without, ruletest.Edits("batteries.pack.pluggable", "true", "contactors.k.contact.break", "")...),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "nothing but its plug separates it"}},
		{Name: "a connector that a hand parts under load", Subject: "pack", Edits: plugged(`{"use": "battery", "contacts": [{}], "breaks": [{"V": 100, "A": 100}]}`),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "disconnected by plug"}},
		{Name: "a connector that is parted once the contactor has opened", Subject: "pack", Edits: plugged(`{"use": "battery", "contacts": [{}], "breaks": "none"}`),
			Want: ruletest.Want{Verdict: rules.AsDeclared, Message: "plug, once k has opened"}},
		{Name: "a connector that must not be parted under load", Subject: "pack",
			Edits: append(plugged(`{"use": "battery", "contacts": [{}], "breaks": "none"}`), ruletest.Edits("contactors.k.contact.break", "")...),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "nothing but plug separates it"}},
		{Name: "a connector that takes a tool", Subject: "pack", Edits: plugged(`{"use": "battery", "contacts": [{}], "breaks": "none", "lock": "tool"}`),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "takes a tool"}},
		{Name: "a connector of which nothing is known", Subject: "pack",
			Edits: append(plugged(`{"use": "battery", "contacts": [{}]}`), ruletest.Edits("contactors.k.contact.break", "")...),
			Want:  ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.breaks"}},
		{Name: "transistors in the pack", Subject: "pack", Edits: append(without, ruletest.Edits("batteries.pack.bms", `{"discharge_A": 100}`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "pack: no disconnect separates it"}},
		{Name: "one in a drawer", Subject: "pack", Edits: append(without, ruletest.Edits("disconnects.other", `{"spare": true}`)...), Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "one that everything goes past", Subject: "pack", Edits: ruletest.Edits("wires.past", `{"from": "pack.pos", "to": "k.a", "size": "70 mm2", "length_m": 0.1}`,
			"disconnects.iso.poles", "1", "wires.w4.to", `"pack.neg"`, "wires.w5", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "past - w2 bypasses iso", Fix: "bypasses iso: remove one of its conductors"}},
		{Name: "none but one that feeds nothing, with a resistor around it", Subject: "pack", Edits: append(without, ruletest.Edits(
			"disconnects.other", `{"carry_A": 100}`, "resistors.soft", `{"role": "precharge", "resistance_Ohm": 100}`, "studs.lone", "{}",
			"wires.o1", `{"from": "pack.pos", "to": "other.a", "size": "70 mm2", "length_m": 0.1}`,
			"wires.o2", `{"from": "other.b", "to": "lone.stud", "size": "70 mm2", "length_m": 0.1}`,
			"wires.s1", `{"from": "other.a", "to": "soft.a", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.s2", `{"from": "soft.b", "to": "other.b", "size": "1.5 mm2", "length_m": 0.1}`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "pack: no disconnect separates it"}},
		{Name: "in the negative side", Subject: "pack", Edits: ruletest.Edits("disconnects.iso.poles", "1",
			"wires.w1.to", `"k.a"`, "wires.w2", "", "wires.w4.to", `"iso.b"`, "wires.w5.from", `"iso.a"`),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "an auxiliary battery needs none", Subject: "aux"},
		{Name: "two that only together cut it off", Subject: "pack", Edits: ruletest.Edits("disconnects.second", `{"carry_A": 100}`, "disconnects.iso.poles", "1",
			"wires.w4.to", `"pack.neg"`, "wires.w5", "",
			"wires.s1", `{"from": "pack.pos", "to": "second.a", "size": "70 mm2", "length_m": 0.1}`,
			"wires.s2", `{"from": "second.b", "to": "k.a", "size": "70 mm2", "length_m": 0.1}`),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "iso, second"}},
		{Name: "a pack that feeds nothing", Subject: "pack", Edits: ruletest.Edits("wires.w3", "", "wires.w4", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "something that pack feeds"}},
	})
}
