package contactor

import (
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// withCutout puts a thermal cut-out between key and coil.
func withCutout(edits ...string) []rules.Edit {
	return slices.Concat(ruletest.Edits(
		"motors.m", `{"kind": "permanent-magnet", "limit_C": 155}`,
		"cutouts.tc", `{"guards": "m", "opens_C": 130, "reset": "manual", "contact": {"carry_A": 2.5, "rated_V_dc": 60}}`,
		"wires.coil.to", `"tc.a"`, "wires.hot", `{"from": "tc.b", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 1}`), ruletest.Edits(edits...))
}

// 16 V less 75 mV of each contact on 24 Ohm: 0.64 A. Its clamp adds 24 V to the 16 V of the supply as it opens.
func TestCutoutContactLow(t *testing.T) {
	fixture.Play(t, cutoutContactLow(), []ruletest.Scene{
		{Name: "a coil", Subject: "tc", Edits: withCutout(), Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.643, Capability: 2.5, Relative: 0.02}},
		{Name: "above the supply, not above supply and clamp", Subject: "tc", Edits: withCutout("cutouts.tc.contact.rated_V_dc", "30"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 39.93, Capability: 30, Relative: 0.001, Fix: "48 V DC", Message: "when it opens the coil of k"}},
		{Name: "a plain diode", Subject: "tc", Edits: withCutout("cutouts.tc.contact.rated_V_dc", "30", "contactors.k.coil.suppression", `"diode"`, "contactors.k.coil.clamp_V", "1"),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a clamp that nobody knows", Subject: "tc", Edits: withCutout("contactors.k.coil.clamp_V", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.clamp_V"}},
		{Name: "below the supply", Subject: "tc", Edits: withCutout("cutouts.tc.contact.rated_V_dc", "12", "contactors.k.coil.clamp_V", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 16, Capability: 12}},
		{Name: "breaks it at that voltage", Subject: "tc", Edits: withCutout("cutouts.tc.contact.break", `[{"V": 60, "A": 1}]`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "breaks it at the supply alone", Subject: "tc", Edits: withCutout("cutouts.tc.contact.break", `[{"V": 30, "A": 1}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 0.643, Relative: 0.02}},
		{Name: "breaks less", Subject: "tc", Edits: withCutout("cutouts.tc.contact.break", `[{"V": 60, "A": 0.1}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 0.643, Capability: 0.1, Relative: 0.02, Fix: "at least 0.7 A at 40 V DC"}},
		{Name: "half an ampere", Subject: "tc", Edits: withCutout("cutouts.tc.contact.carry_A", "0.5"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 0.5}},
		{Name: "for AC alone", Subject: "tc", Edits: withCutout("cutouts.tc.contact.rated_V_dc", "", "cutouts.tc.contact.rated_V_ac", "250"),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "cutouts.tc.contact.rated_V_dc"}},
		{Name: "current not given", Subject: "tc", Edits: withCutout("cutouts.tc.contact.carry_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "cutouts.tc.contact.carry_A"}},
		{Name: "a contactor", Subject: "k", Edits: withCutout()},
		{Name: "a spare one", Subject: "tc", Edits: withCutout("cutouts.tc.spare", "true")},
	})
}

// All that opens the coil sees supply and clamp.
func TestClampOnWhatOpens(t *testing.T) {
	through := func(part, json, a, b string) []rules.Edit {
		return ruletest.Edits(part, json, "wires.coil.to", `"`+a+`"`, "wires.hot", `{"from": "`+b+`", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 1}`)
	}
	fixture.Play(t, suppressionClampHigh(), []ruletest.Scene{
		{Name: "a cut-out", Edits: withCutout("cutouts.tc.contact.rated_V_dc", "30"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 39.93, Capability: 30, Relative: 0.001, Primary: "cutout-contact-low/tc"}},
		{Name: "a cut-out within the margin", Edits: withCutout("cutouts.tc.contact.rated_V_dc", "45"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 39.93, Capability: 45, Relative: 0.001}},
		{Name: "a breaker", Edits: through("breakers.cb", `{"kind": "thermal", "rated_A": 3, "rated_V_dc": 32}`, "cb.a", "cb.b"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 39.93, Capability: 32, Relative: 0.001}},
		{Name: "a breaker with a lamp behind it, which absorbs", Edits: append(through("breakers.cb", `{"kind": "thermal", "rated_A": 3, "rated_V_dc": 32}`, "cb.a", "cb.b"), ruletest.Edits(
			"loads.lamp", `{"kind": "filament", "power_W": 5, "at_V": 12}`, "wires.l", `{"from": "cb.b", "to": "lamp.pos", "size": "1.5 mm2", "length_m": 1}`,
			"wires.l2", `{"from": "lamp.neg", "to": "b.neg", "size": "1.5 mm2", "length_m": 1}`, "modes.drive.on", `["lamp"]`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 60}},
		{Name: "the pilot of a plug", Edits: through("connectors.pl", `{"use": "harness", "contacts": [{"carry_A": 5, "rated_V_dc": 32}], "pilot": {"contacts": [1]}}`, "pl.a1", "pl.b1"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 39.93, Capability: 32, Relative: 0.001}},
		{Name: "an unrated contact beside one that fails", Edits: append(withCutout("cutouts.tc.contact.rated_V_dc", ""), ruletest.Edits("switches.key.poles.p.rated_V_dc", "30")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 30}},
		{Name: "an unrated contact", Edits: withCutout("cutouts.tc.contact.rated_V_dc", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "cutouts.tc.contact.rated_V_dc"}},
	})
}
