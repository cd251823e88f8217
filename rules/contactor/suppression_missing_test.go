package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// acrossCoil connects a diode from one coil terminal to the other.
func acrossCoil(anode, cathode string) []string {
	return []string{"controllers:", "diodes: {d: {forward_V: 0.9, forward_at_A: 1}}\ncontrollers:",
		"modes:", "  d1: {from: " + anode + ", to: d.anode, size: 1.5 mm2, length_m: 0.1}\n  d2: {from: d.cathode, to: " + cathode + ", size: 1.5 mm2, length_m: 0.1}\nmodes:"}
}

// rowAcrossCoil connects a diode and a resistor in series from one coil
// terminal to the other.
func rowAcrossCoil(anode, cathode, ohm string) []string {
	return []string{"controllers:", "diodes: {d: {forward_V: 0.9, forward_at_A: 1}}\nresistors: {r: {role: load, resistance_Ohm: " + ohm + "}}\ncontrollers:",
		"modes:", "  d1: {from: " + anode + ", to: d.anode, size: 1.5 mm2, length_m: 0.1}\n  d2: {from: d.cathode, to: r.a, size: 1.5 mm2, length_m: 0.1}\n" +
			"  d3: {from: r.b, to: " + cathode + ", size: 1.5 mm2, length_m: 0.1}\nmodes:"}
}

// suppressed sets the coil's own suppression.
func suppressed(by string) []string { return []string{"suppression: tvs, clamp_V: 24", by} }

func join(lists ...[]string) (all []string) {
	for _, l := range lists {
		all = append(all, l...)
	}
	return all
}

func TestSuppressionMissing(t *testing.T) {
	rule := suppressionMissing()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "in the coil", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "none", Replace: suppressed("suppression: none"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "none, and a switch that is not made for it", Replace: join(suppressed("suppression: none"), []string{"rated_V_dc: 60}}}}", "rated_V_dc: 60, inductive_A: 0.5}}}}"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}}, // 16 V / 24 Ohm = 0.67 A
		{Name: "none, and a switch that is", Replace: join(suppressed("suppression: none"), []string{"rated_V_dc: 60}}}}", "rated_V_dc: 60, inductive_A: 1}}}}"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "none, and an enable input on the same conductor", Replace: join(suppressed("suppression: none"), []string{"modes:", "  en: {from: key.p_b, to: c.enable, size: 1.5 mm2, length_m: 1}\nmodes:"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "none, and an enable input before the key", Replace: join(suppressed("suppression: none"), []string{"modes:", "  en: {from: key.p_a, to: c.enable, size: 1.5 mm2, length_m: 1}\nmodes:"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "not said", Replace: suppressed("limit_C: 130"), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.suppression"}},
		{Name: "external, and not there", Replace: suppressed("suppression: external"), Want: ruletest.Want{Verdict: rules.Failed, Message: "declared external"}},
		{Name: "external, and there", Replace: join(suppressed("suppression: external"), acrossCoil("k.coil_neg", "k.coil_pos")), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "none of its own, but a diode across it", Replace: join(suppressed("suppression: none"), acrossCoil("b.neg", "key.p_b")), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "the wrong way around is none", Replace: join(suppressed("suppression: none"), acrossCoil("k.coil_pos", "k.coil_neg")), Want: ruletest.Want{Verdict: rules.Failed, Primary: "suppression-reversed/k", Message: "d is reversed across"}},
		{Name: "a diode with a resistor", Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24")), Want: ruletest.Want{Verdict: rules.Passed, Message: "d in series with r"}},
		{Name: "the resistor at the other end", Replace: join(suppressed("suppression: external"), rowAcrossCoil("b.neg", "key.p_b", "24"), []string{
			"to: d.anode", "to: r.first", "from: d.cathode, to: r.a", "from: r.b, to: d.anode", "from: r.b, to: key", "from: d.cathode, to: key", "r.first", "r.a"}), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a diode with a resistor, the wrong way around", Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_pos", "k.coil_neg", "24")), Want: ruletest.Want{Verdict: rules.Failed, Primary: "suppression-reversed/k", Message: "d in series with r is reversed"}},
	})
	t.Run("a coil in parallel absorbs the energy of both", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", ruletest.Edits("relays.soft_relay.coil.suppression", `"none"`, "wires.w_coil_contactor.from", `"soft_timer.pos"`)...)
	})
	t.Run("a transistor does not withstand it", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", ruletest.Edits("contactors.main_contactor.coil.suppression", `"none"`, "contactors.main_contactor.coil.clamp_V", "")...)
		ruletest.Expect(t, got, "main_contactor", ruletest.Want{Verdict: rules.Failed, Level: rules.Error})
	})
	t.Run("a driver may have its own", func(t *testing.T) {
		ruletest.Silent(t, rule, "mole", ruletest.Edits("contactors.main_contactor.coil.suppression", `"external"`)...)
	})
}
