package contactor

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Full, 15.96 V at the coil; with a clamp of 24 V the key sees 39.96 V, and is
// to withstand 1.2 times that: 48 V.
func TestSuppressionClampHigh(t *testing.T) {
	rule := suppressionClampHigh()
	key := "poles: {p: {carry_A: 10, rated_V_dc: 60}}"
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "within", Want: ruletest.Want{Verdict: rules.Passed, Demand: 39.96, Capability: 60, Relative: 1e-3}},
		{Name: "the margin is asked for", Replace: []string{key, "poles: {p: {carry_A: 10, rated_V_dc: 45}}"}, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Capability: 45, Relative: 1e-9}},
		{Name: "an inductive rating covers the coil", Replace: []string{key, "poles: {p: {carry_A: 10, rated_V_dc: 45, inductive_A: 2}}"}, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Capability: 45, Relative: 1e-9}},
		{Name: "above its rating an inductive rating is none for that voltage", Replace: []string{key, "poles: {p: {carry_A: 10, rated_V_dc: 35, inductive_A: 2}}"}, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 39.96, Capability: 35, Relative: 1e-3}},
		{Name: "a plain diode clamps at its forward voltage", Replace: suppressed("suppression: diode"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 16.76, Relative: 1e-3}},
		{
			Name:    "the lower of two clamps counts", // 15.96 V + 0.9 V
			Replace: acrossCoil("k.coil_neg", "k.coil_pos"),
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 16.86, Relative: 1e-3},
		},
		{
			Name:    "the contact of a relay opens the circuit", // of its 28 V and the key's 60 V; the key opens the relay's coil
			Replace: append(keyedRelay("key.p_b"), "contact: {carry_A: 10, rated_V_dc: 60}", "contact: {carry_A: 10, rated_V_dc: 28}"),
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 28, Relative: 1e-9},
		},
		// The current of the coil, 15.96 V / 24 Ohm at 20 C, flows on through 24 Ohm:
		// 15.96 V + 15.96 V + 0.9 V. Through 50 Ohm: 15.96 V + 33.25 V + 0.9 V.
		{Name: "a diode with a resistor", Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24")), Want: ruletest.Want{Verdict: rules.Passed, Demand: 32.82, Relative: 1e-3}},
		{
			Name:    "a diode with too great a resistor", // 60 V / 1.2 leaves 33.14 V for it: 49.8 Ohm
			Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "50")),
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 50.11, Relative: 1e-3, Fix: "use at most 49.8 Ohm in place of the 50 Ohm of r"},
		},
		{
			Name:    "a resistor that clamps nothing, an inductive rating notwithstanding", // 15.96 V / 24 Ohm * 2400 Ohm
			Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "2400"), []string{key, "poles: {p: {carry_A: 10, rated_V_dc: 60, inductive_A: 2}}"}),
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 1612.9, Relative: 1e-3},
		},
		{
			Name:    "in the cold the coil's current is greater", // at -10 C 15.96 V / (24 Ohm * 0.8821); the copper of the feed stays hot
			Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24"), []string{"{min: 20, max: 20}", "{min: -10, max: 20}"}),
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 34.96, Relative: 1e-3},
		},
		// It draws as much as the coil, which leaves 15.925 V, twice.
		{Name: "a resistor alone", Replace: join(suppressed("suppression: external"), acrossCoil("k.coil_neg", "k.coil_pos"), []string{"diodes: {d: {forward_V: 0.9, forward_at_A: 1}}",
			"resistors: {d: {role: load, resistance_Ohm: 24}}", "d.anode", "d.a", "d.cathode", "d.b"}), Want: ruletest.Want{Verdict: rules.Passed, Demand: 31.85, Relative: 1e-3}},
		{
			Name: "a resistor carries the current of the coils in parallel", // 15.95 V (1/24 + 1/48) S * 24 Ohm + 0.9 V
			Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24"), []string{
				"diodes:", "relays: {r2: {contact: {carry_A: 5}, coil: {nominal_V: 12, operate_V: 6, resistance_Ohm: 48, suppression: external}}}\ndiodes:",
				"  d1:", "  p1: {from: k.coil_pos, to: r2.coil_pos, size: 1.5 mm2, length_m: 0.1}\n  p2: {from: k.coil_neg, to: r2.coil_neg, size: 1.5 mm2, length_m: 0.1}\n  d1:"}),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 15.95 + 1.5*15.95 + 0.9, Relative: 1e-3},
		},
		{
			Name: "of a suppressor of 24 V and that resistor, 24.8 V, the suppressor acts first",
			Replace: join(rowAcrossCoil("k.coil_neg", "k.coil_pos", "24"), []string{
				"diodes:", "relays: {r2: {contact: {carry_A: 5}, coil: {nominal_V: 12, operate_V: 6, resistance_Ohm: 48, suppression: external}}}\ndiodes:",
				"  d1:", "  p1: {from: k.coil_pos, to: r2.coil_pos, size: 1.5 mm2, length_m: 0.1}\n  p2: {from: k.coil_neg, to: r2.coil_neg, size: 1.5 mm2, length_m: 0.1}\n  d1:"}),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 15.95 + 24, Relative: 1e-3},
		},
		{Name: "a resistor beside an unknown coil", Replace: join(suppressed("suppression: external"), rowAcrossCoil("k.coil_neg", "k.coil_pos", "24"), []string{"resistance_Ohm: 24, rise_K", "rise_K"}), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.resistance_Ohm"}},
		{Name: "no suppression, no clamp", Replace: suppressed("suppression: none")},
		{Name: "unknown clamp", Replace: suppressed("suppression: varistor"), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.clamp_V"}},
		{Name: "unknown rating", Replace: []string{key, "poles: {p: {carry_A: 10}}"}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "switches.key.poles.p.rated_V_dc"}},
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
	if !ok || r.Rule != "suppression-clamp-high" || r.Primary != "contactor-voltage-low/key_relay" {
		t.Errorf("found %v, %s following from %q", ok, r.Rule, r.Primary)
	}
	if cause, ok := ruletest.Finding(results, "key_relay"); !ok || cause.Key() != r.Primary {
		t.Errorf("%q is not found", r.Primary)
	}
}
