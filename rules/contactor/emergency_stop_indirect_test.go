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
	t.Run("a supply that no single contactor switches", func(t *testing.T) {
		inCoil := append([]string{"  coil: {from: key.p_b,", "  s: {from: key.p_b, to: stop.p_a, size: 1.5 mm2, length_m: 0.2}\n  coil: {from: stop.p_b,"}, stop...)
		second := "  k2:\n    contact: {carry_A: 100, rated_V_dc: 60}\n    coil: {nominal_V: 12, operate_V: 6.5, resistance_Ohm: 24}\ncontrollers:"
		across := "  m2: {from: k.a, to: k2.a, size: 35 mm2, length_m: 1}\n  l2: {from: k2.b, to: k.b, size: 35 mm2, length_m: 1}\n" +
			"  r2: {from: k2.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 1}\n"
		for name, tc := range map[string]struct {
			change []string
			want   rules.Verdict
		}{
			"a wire round the contactor": {[]string{"modes:", "  round: {from: k.a, to: k.b, size: 35 mm2, length_m: 1}\nmodes:"}, rules.Failed},
			"two contactors on the stop": {[]string{"controllers:", second,
				"modes:", across + "  c2: {from: stop.p_b, to: k2.coil_pos, size: 1.5 mm2, length_m: 1}\nmodes:"}, rules.Passed},
			"one of two contactors past the stop": {[]string{"controllers:", second,
				"modes:", across + "  c2: {from: key.p_b, to: k2.coil_pos, size: 1.5 mm2, length_m: 1}\nmodes:"}, rules.Failed},
		} {
			r, ok := on(t, rule, replaced(t, append(inCoil, tc.change...)...), "c")
			if primary := map[bool]string{true: "contactor-bypassed/k"}[name == "a wire round the contactor"]; r.Primary != primary {
				t.Errorf("%s: follows from %q, want %q", name, r.Primary, primary)
			}
			if !ok || r.Verdict != tc.want {
				t.Errorf("%s: %s, want %s: %s", name, r.Verdict, tc.want, r.Message)
			}
		}
	})
}
