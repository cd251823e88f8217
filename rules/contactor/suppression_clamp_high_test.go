package contactor

import (
	"testing"

	"example.org/headroom/rules"
)

// Full, 15.96 V at the coil; with a clamp of 24 V the key sees 39.96 V, and is
// to bear 1.2 times that: 48 V.
func TestSuppressionClampHigh(t *testing.T) {
	rule := suppressionClampHigh()
	fleetIsSilent(t, rule)
	key := "poles: {p: {carry_A: 10, rated_V_dc: 60}}"
	runBench(t, rule, []benchCase{
		{name: "within", want: want{verdict: rules.Passed, demand: 39.96, capability: 60, relative: 1e-3}},
		{name: "the margin is asked for", change: []string{key, "poles: {p: {carry_A: 10, rated_V_dc: 45}}"}, want: want{verdict: rules.Failed, level: rules.Error, capability: 45, relative: 1e-9}},
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
		{name: "no suppression, no clamp", change: suppressed("suppression: none"), silent: true},
		{name: "unknown clamp", change: suppressed("suppression: varistor"), want: want{verdict: rules.NotChecked, missing: "contactors.k.coil.clamp_V"}},
		{name: "unknown rating", change: []string{key, "poles: {p: {carry_A: 10}}"}, want: want{verdict: rules.NotChecked, missing: "switches.key.poles.p.rated_V_dc"}},
	})
}
