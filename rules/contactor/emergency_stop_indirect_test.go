package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestEmergencyStopIndirect(t *testing.T) {
	rule := emergencyStopIndirect()
	fleetIsSilent(t, rule)
	stop := []string{"rated_V_dc: 60}}}}", "rated_V_dc: 60}}}, stop: {role: emergency-stop, poles: {p: {carry_A: 100, rated_V_dc: 60}}}}",
		"closed: [key]", "closed: [key, stop]"}
	runBench(t, rule, []benchCase{
		{name: "without an emergency stop there is nothing to say", silent: true},
		{
			name:   "in the coil's feed",
			change: append([]string{"  coil: {from: key.p_b,", "  s: {from: key.p_b, to: stop.p_a, size: 1.5 mm2, length_m: 0.2}\n  coil: {from: stop.p_b,"}, stop...),
			want:   want{verdict: rules.Passed},
		},
		{
			name:   "in the controller's logic supply alone",
			change: append([]string{"modes:", "  s1: {from: key.p_b, to: stop.p_a, size: 1.5 mm2, length_m: 0.2}\n  s2: {from: stop.p_b, to: c.enable, size: 1.5 mm2, length_m: 0.2}\nmodes:"}, stop...),
			want:   want{verdict: rules.Failed, level: rules.Error},
		},
		{
			name:   "in the main circuit itself",
			change: append([]string{"  main: {from: b.pos,", "  s: {from: b.pos, to: stop.p_a, size: 35 mm2, length_m: 0.2}\n  main: {from: stop.p_b,"}, stop...),
			want:   want{verdict: rules.Passed},
		},
	})
	t.Run("a driver is not a contact", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", rules.Edit{Path: "wires.w_coil.from", Value: `"key.drive_b"`})
		ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	})
	inCoil := append([]string{"  coil: {from: key.p_b,", "  s: {from: key.p_b, to: stop.p_a, size: 1.5 mm2, length_m: 0.2}\n  coil: {from: stop.p_b,"}, stop...)
	for _, tc := range []struct {
		name, subject string
		change        []string
		want          rules.Verdict
		primary       string
	}{
		{"a wire round the contactor", "c", []string{"modes:", "  round: {from: k.a, to: k.b, size: 35 mm2, length_m: 1}\nmodes:"}, rules.Failed, "contactor-bypassed/k"},
		{"two contactors on the stop", "k2", beside("stop.p_b"), rules.Passed, ""},
		{"one of two contactors past the stop", "k2", beside("key.p_b"), rules.Failed, ""},
		{"the other of the two", "k", beside("key.p_b"), rules.Passed, ""},
		{"no contactor", "c", []string{"load: {from: k.b", "load: {from: b.pos"}, rules.Failed, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, ok := on(t, rule, replaced(t, append(inCoil[:len(inCoil):len(inCoil)], tc.change...)...), tc.subject)
			if !ok || r.Verdict != tc.want || r.Primary != tc.primary {
				t.Errorf("%s, want %s, following from %q, want %q: %s", r.Verdict, tc.want, r.Primary, tc.primary, r.Message)
			}
		})
	}
}

// beside puts a second contactor beside that of the bench, its coil fed from a
// terminal.
func beside(feed string) []string {
	return []string{
		"controllers:", "  k2:\n    contact: {carry_A: 100, rated_V_dc: 60}\n    coil: {nominal_V: 12, operate_V: 6.5, resistance_Ohm: 24}\ncontrollers:",
		"modes:", "  m2: {from: k.a, to: k2.a, size: 35 mm2, length_m: 1}\n  l2: {from: k2.b, to: k.b, size: 35 mm2, length_m: 1}\n" +
			"  r2: {from: k2.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 1}\n  c2: {from: " + feed + ", to: k2.coil_pos, size: 1.5 mm2, length_m: 1}\nmodes:",
	}
}
