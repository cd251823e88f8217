package contactor

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Full, 15.96 V at the coil; with a clamp of 24 V the key sees 39.96 V, and is
// to bear 1.2 times that: 48 V.
func TestSuppressionClampHigh(t *testing.T) {
	rule := suppressionClampHigh()
	fleetIsSilent(t, rule)
	key := "poles: {p: {carry_A: 10, rated_V_dc: 60}}"
	runBench(t, rule, []benchCase{
		{name: "within", want: want{verdict: rules.Passed, demand: 39.96, capability: 60, relative: 1e-3}},
		{name: "the margin is asked for", change: []string{key, "poles: {p: {carry_A: 10, rated_V_dc: 45}}"}, want: want{verdict: rules.Failed, level: rules.Warning, capability: 45, relative: 1e-9}},
		{name: "an inductive rating covers the coil", change: []string{key, "poles: {p: {carry_A: 10, rated_V_dc: 45, inductive_A: 2}}"}, want: want{verdict: rules.Failed, level: rules.Note, capability: 45, relative: 1e-9}},
		{name: "a plain diode clamps at its forward voltage", change: suppressed("suppression: diode"), want: want{verdict: rules.Passed, demand: 16.76, relative: 1e-3}},
		{
			name:   "the lower of two clamps counts", // 15.96 V + 0.9 V
			change: acrossCoil("k.coil_neg", "k.coil_pos"),
			want:   want{verdict: rules.Passed, demand: 16.86, relative: 1e-3},
		},
		{
			name:   "the contact of a relay opens the circuit", // of its 28 V and the key's 60 V; the key opens the relay's coil
			change: append(keyedRelay("key.p_b"), "contact: {carry_A: 10, rated_V_dc: 60}", "contact: {carry_A: 10, rated_V_dc: 28}"),
			want:   want{verdict: rules.Failed, capability: 28, relative: 1e-9},
		},
		// The current of the coil, 15.96 V / 24 Ohm at 20 C, flows on through 24 Ohm:
		// 15.96 V + 15.96 V + 0.9 V. Through 50 Ohm: 15.96 V + 33.25 V + 0.9 V.
		{name: "a diode with a resistor", change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24")), want: want{verdict: rules.Passed, demand: 32.82, relative: 1e-3}},
		{
			name:   "a diode with too great a resistor", // 60 V / 1.2 leaves 33.14 V for it: 49.8 Ohm
			change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "50")),
			want:   want{verdict: rules.Failed, level: rules.Warning, demand: 50.11, relative: 1e-3, fix: "use 49 Ohm at most in place of the 50 Ohm of r"},
		},
		{
			name:   "in the cold the coil's current is greater", // at -10 C 15.96 V / (24 Ohm * 0.8821); the copper of the feed stays hot
			change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24"), []string{"{min: 20, max: 20}", "{min: -10, max: 20}"}),
			want:   want{verdict: rules.Passed, demand: 34.96, relative: 1e-3},
		},
		// It draws as much as the coil, which leaves 15.925 V, twice.
		{name: "a resistor alone", change: join(suppressed("suppression: external"), acrossCoil("k.coil_neg", "k.coil_pos"), []string{"diodes: {d: {forward_V: 0.9, forward_at_A: 1}}",
			"resistors: {d: {role: load, resistance_Ohm: 24}}", "d.anode", "d.a", "d.cathode", "d.b"}), want: want{verdict: rules.Passed, demand: 31.85, relative: 1e-3}},
		{
			name: "a resistor takes the current of the coils in parallel", // 15.95 V (1/24 + 1/48) S * 24 Ohm + 0.9 V
			change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24"), []string{
				"diodes:", "relays: {r2: {contact: {carry_A: 5}, coil: {nominal_V: 12, operate_V: 6, resistance_Ohm: 48, suppression: external}}}\ndiodes:",
				"  d1:", "  p1: {from: k.coil_pos, to: r2.coil_pos, size: 1.5 mm2, length_m: 0.1}\n  p2: {from: k.coil_neg, to: r2.coil_neg, size: 1.5 mm2, length_m: 0.1}\n  d1:"}),
			want: want{verdict: rules.Passed, demand: 15.95 + 1.5*15.95 + 0.9, relative: 1e-3},
		},
		{
			name: "of a suppressor of 24 V and that resistor, 24.8 V, the suppressor acts first",
			change: join(rowAcrossCoil("k.coil_neg", "k.coil_pos", "24"), []string{
				"diodes:", "relays: {r2: {contact: {carry_A: 5}, coil: {nominal_V: 12, operate_V: 6, resistance_Ohm: 48, suppression: external}}}\ndiodes:",
				"  d1:", "  p1: {from: k.coil_pos, to: r2.coil_pos, size: 1.5 mm2, length_m: 0.1}\n  p2: {from: k.coil_neg, to: r2.coil_neg, size: 1.5 mm2, length_m: 0.1}\n  d1:"}),
			want: want{verdict: rules.Passed, demand: 15.95 + 24, relative: 1e-3},
		},
		{name: "a resistor beside an unknown coil", change: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24"), []string{"resistance_Ohm: 24, rise_K", "rise_K"}), want: want{verdict: rules.NotChecked, missing: "contactors.k.coil.resistance_Ohm"}},
		{name: "no suppression, no clamp", change: suppressed("suppression: none"), silent: true},
		{name: "unknown clamp", change: suppressed("suppression: varistor"), want: want{verdict: rules.NotChecked, missing: "contactors.k.coil.clamp_V"}},
		{name: "unknown rating", change: []string{key, "poles: {p: {carry_A: 10}}"}, want: want{verdict: rules.NotChecked, missing: "switches.key.poles.p.rated_V_dc"}},
	})
}

// What follows from a contact that is rated too low for its circuit names the rule
// that says so: for a relay that of contacts, not that of poles.
func TestClampFollowsFromTheContact(t *testing.T) {
	path := filepath.Join("..", "..", "testdata", "sound", "key-through-relay.yaml")
	spec := ruletest.Changed(t, path,
		rules.Edit{Path: "relays.key_relay.contact.rated_V_dc", Value: "48"},
		rules.Edit{Path: "relays.key_relay.contact.break", Value: `[{"V": 48, "A": 5}]`})
	results := ruletest.Run(t, spec, []*rules.Rule{suppressionClampHigh(), contactVoltageLow()})
	r, ok := ruletest.Finding(results, "main_contactor")
	if !ok || r.Rule != "suppression-clamp-high" || r.Primary != "contact-voltage-low/key_relay" {
		t.Errorf("found %v, %s following from %q", ok, r.Rule, r.Primary)
	}
	if cause, ok := ruletest.Finding(results, "key_relay"); !ok || cause.Key() != r.Primary {
		t.Errorf("%q is not found", r.Primary)
	}
}
