package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPartsUnderLoad(t *testing.T) {
	fixture.Play(t, partsUnderLoad(), []ruletest.Scene{
		{Name: "the pilot takes the load off", Want: ruletest.Want{Verdict: rules.Passed, Message: "pilot contacts take the load off"}},
		{Name: "a bridge past the pilot", Edits: ruletest.Edits("wires.bridge", `{"from": "house.b", "to": "key.p_a", "size": "1.5 mm2", "length_m": 0.5}`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "A and 84 V (mode"}},
		{Name: "not given", Edits: ruletest.Edits("connectors.plug.pilot", "", "connectors.plug.breaks", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.breaks"}},
		{Name: "breaks it", Edits: ruletest.Edits("connectors.plug.pilot", "", "connectors.plug.breaks", `[{"V": 100, "A": 90}]`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 70, Capability: 90}},
		{Name: "breaks it at a lower voltage", Edits: ruletest.Edits("connectors.plug.pilot", "", "connectors.plug.breaks", `[{"V": 60, "A": 90}]`),
			Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "latched lamps", Subject: "lamp_plug", Want: ruletest.Want{Verdict: rules.Passed, Message: "latched"}},
		{Name: "lamps without a latch", Subject: "lamp_plug", Edits: ruletest.Edits("connectors.lamp_plug.lock", `"none"`), Want: ruletest.Want{Verdict: rules.Failed}},
		// 84 V over 470 Ohm past the contactor are 0.18 A at most, over 47 Ohm 1.79 A.
		{Name: "a resistor past the contactor", Edits: bled("470"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.179, Capability: 1, Relative: 0.02}},
		{Name: "a small resistor past the contactor", Edits: bled("47"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "leave that much"}},
		{Name: "a small resistor, and it breaks that", Edits: append(bled("47"), ruletest.Edits("connectors.plug.breaks", `[{"V": 100, "A": 5}]`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 1.79, Capability: 5, Relative: 0.02}},
		{Name: "the pilot in the enable input", Edits: enabled, Want: ruletest.Want{Verdict: rules.Passed, Message: "take the load off"}},
		{Name: "the enable input past the pilot", Edits: append(enabled[:len(enabled):len(enabled)], ruletest.Edits("wires.e1.from", `"key.p_b"`)...), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "behind an isolator, latched", Edits: isolated, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "behind an isolator, held by nothing", Edits: append(isolated[:len(isolated):len(isolated)], ruletest.Edits("connectors.plug.lock", `"none"`)...), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "an inlet behind an isolator", Edits: append(isolated[:len(isolated):len(isolated)], ruletest.Edits("connectors.plug.use", `"inlet"`)...), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "one pole behind an isolator", Edits: append(isolator[:len(isolator):len(isolator)], single("ipxxb", "ipxxb")...), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "the other pole behind an isolator", Subject: "minus", Edits: append(isolator[:len(isolator):len(isolator)], single("ipxxb", "ipxxb")...), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}

// bled are edits that put a resistance in Ohm past the contactor, and a bleed behind it that
// draws all it gives.
func bled(ohm string) []rules.Edit {
	return ruletest.Edits("resistors.soft", `{"role": "load", "resistance_Ohm": `+ohm+`, "power_W": 200}`,
		"wires.r1", `{"from": "k1.a", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.1}`, "wires.r2", `{"from": "soft.b", "to": "plug.b2", "size": "2.5 mm2", "length_m": 0.1}`)
}

// enabled are edits that leave the contactor to the key alone, and lead the pilot to the
// enable input of the controller.
var enabled = ruletest.Edits("wires.c2.to", `"key.p_a"`, "wires.c3.from", `"key.p_b"`, "wires.c3.to", `"plug.a3"`,
	"wires.e1", `{"from": "plug.b3", "to": "drive.enable", "size": "1.5 mm2", "length_m": 0.5}`, "wires.e2", `{"from": "aux.neg", "to": "drive.neg", "size": "1.5 mm2", "length_m": 0.5}`)

// isolator are edits that put a disconnect behind the main fuse, and isolated leave the plug
// without its pilot as well.
var (
	isolator = ruletest.Edits("disconnects.isolator", `{"carry_A": 200, "rated_V_dc": 100}`, "wires.w3.from", `"isolator.b"`,
		"wires.i1", `{"from": "main.b", "to": "isolator.a", "size": "35 mm2", "length_m": 0.1}`, "modes.cruise.closed", `["key", "isolator"]`)
	isolated = append(isolator[:len(isolator):len(isolator)], ruletest.Edits("connectors.plug.pilot", "")...)
)
