package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestEmergencyStopIndirect(t *testing.T) {
	rule := emergencyStopIndirect()
	stop := []string{"rated_V_dc: 60}}}}", "rated_V_dc: 60}}}, stop: {role: emergency-stop, poles: {p: {carry_A: 100, rated_V_dc: 60}}}}",
		"closed: [key]", "closed: [key, stop]"}
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "without an emergency stop there is nothing to say"},
		{
			Name:    "in the coil's feed",
			Replace: append([]string{"  coil: {from: key.p_b,", "  s: {from: key.p_b, to: stop.p_a, size: 1.5 mm2, length_m: 0.2}\n  coil: {from: stop.p_b,"}, stop...),
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{
			Name:    "in the controller's logic supply alone",
			Replace: append([]string{"modes:", "  s1: {from: key.p_b, to: stop.p_a, size: 1.5 mm2, length_m: 0.2}\n  s2: {from: stop.p_b, to: c.enable, size: 1.5 mm2, length_m: 0.2}\nmodes:"}, stop...),
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error},
		},
		{
			Name:    "in the main circuit itself",
			Replace: append([]string{"  main: {from: b.pos,", "  s: {from: b.pos, to: stop.p_a, size: 35 mm2, length_m: 0.2}\n  main: {from: stop.p_b,"}, stop...),
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
	})
	t.Run("a driver is not a contact", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", ruletest.Edits("wires.w_coil.from", `"key.drive_b"`)...)
		ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	})
	t.Run("a hydraulic pump that the stop does not reach", func(t *testing.T) {
		past := ruletest.Edits("wires.w_tip_switch.from", `"key.house_b"`)
		for _, tc := range []struct {
			name  string
			edits []rules.Edit
			want  rules.Verdict
		}{
			{"as it is", nil, rules.Passed},
			{"its coil past the stop", past, rules.Failed},
			{"meant to run on", append(past, ruletest.Edits("loads.pump.critical", "true")...), rules.AsDeclared},
		} {
			ruletest.Verdict(t, ruletest.On(t, rule, "badger", tc.edits...), "pump", tc.want)
		}
		if r, ok := ruletest.On(t, rule, "badger")["wiper"]; ok {
			t.Errorf("a wiper crushes nobody: %s", r.Message)
		}
	})
	inCoil := append([]string{"  coil: {from: key.p_b,", "  s: {from: key.p_b, to: stop.p_a, size: 1.5 mm2, length_m: 0.2}\n  coil: {from: stop.p_b,"}, stop...)
	for _, tc := range []struct {
		name, subject string
		change        []string
		want          rules.Verdict
		primary       string
	}{
		{"a wire around the contactor", "c", []string{"modes:", "  round: {from: k.a, to: k.b, size: 35 mm2, length_m: 1}\nmodes:"}, rules.Failed, "contactor-bypassed/k"},
		{"two contactors on the stop", "k2", beside("stop.p_b"), rules.Passed, ""},
		{"one of two contactors past the stop", "k2", beside("key.p_b"), rules.Failed, ""},
		{"the other of the two", "k", beside("key.p_b"), rules.Passed, ""},
		{"no contactor", "c", []string{"load: {from: k.b", "load: {from: b.pos"}, rules.Failed, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, ok := fixture.Replace(t, inCoil...).Replace(t, tc.change...).On(t, rule)[tc.subject]
			if !ok || r.Verdict != tc.want || r.Primary != tc.primary {
				t.Errorf("%s, want %s, following from %q, want %q: %s", r.Verdict, tc.want, r.Primary, tc.primary, r.Message)
			}
		})
	}
}

// beside puts a second contactor beside that of the fixture, its coil fed from a
// terminal.
func beside(feed string) []string {
	return []string{
		"controllers:", "  k2:\n    contact: {carry_A: 100, rated_V_dc: 60}\n    coil: {nominal_V: 12, operate_V: 6.5, resistance_Ohm: 24}\ncontrollers:",
		"modes:", "  m2: {from: k.a, to: k2.a, size: 35 mm2, length_m: 1}\n  l2: {from: k2.b, to: k.b, size: 35 mm2, length_m: 1}\n" +
			"  r2: {from: k2.coil_neg, to: b.neg, size: 1.5 mm2, length_m: 1}\n  c2: {from: " + feed + ", to: k2.coil_pos, size: 1.5 mm2, length_m: 1}\nmodes:",
	}
}
