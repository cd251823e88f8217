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
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{name: "in the coil", want: want{verdict: rules.Passed}},
		{name: "none", change: suppressed("suppression: none"), want: want{verdict: rules.Failed, level: rules.Warning}},
		{name: "not said", change: suppressed("limit_C: 130"), want: want{verdict: rules.NotChecked, missing: "contactors.k.coil.suppression"}},
		{name: "external, and not there", change: suppressed("suppression: external"), want: want{verdict: rules.Failed, message: "declared external"}},
		{name: "external, and there", change: join(suppressed("suppression: external"), acrossCoil("k.coil_neg", "k.coil_pos")), want: want{verdict: rules.Passed}},
		{name: "none of its own, but a diode across it", change: join(suppressed("suppression: none"), acrossCoil("b.neg", "key.p_b")), want: want{verdict: rules.Passed}},
		{name: "the wrong way round is none", change: join(suppressed("suppression: none"), acrossCoil("k.coil_pos", "k.coil_neg")), want: want{verdict: rules.Failed, primary: "suppression-reversed/k", message: "d lies across"}},
		{name: "a diode with a resistor", change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24")), want: want{verdict: rules.Passed, message: "d in series with r"}},
		{name: "the resistor at the other end", change: join(suppressed("suppression: external"), rowAcrossCoil("b.neg", "key.p_b", "24"), []string{
			"to: d.anode", "to: r.first", "from: d.cathode, to: r.a", "from: r.b, to: d.anode", "from: r.b, to: key", "from: d.cathode, to: key", "r.first", "r.a"}), want: want{verdict: rules.Passed}},
		{name: "a diode with a resistor, the wrong way round", change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_pos", "k.coil_neg", "24")), want: want{verdict: rules.Failed, primary: "suppression-reversed/k", message: "d in series with r lies"}},
	})
	t.Run("a coil in parallel takes the energy of both", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", rules.Edit{Path: "relays.soft_relay.coil.suppression", Value: `"none"`})
	})
	t.Run("a driver may have its own", func(t *testing.T) {
		ruletest.Silent(t, rule, "mole", rules.Edit{Path: "contactors.main_contactor.coil.suppression", Value: `"external"`})
	})
}
