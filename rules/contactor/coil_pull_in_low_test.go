package contactor

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// By hand, with the coil at 21 C: 24.09 Ohm. In series with it 10 mOhm of
// battery, 3 x 13.3 mOhm of wire and 7.5 mOhm of key: 57.4 mOhm.
func TestCoilPullInLow(t *testing.T) {
	rule := coilPullInLow()
	economiser := []string{"resistance_Ohm: 24, rise_K: 1", "drive: economiser, pickup_A: 3, pickup_s: 0.1, hold_A: 0.3"}
	fixture.Play(t, rule, []ruletest.Scene{
		{
			Name: "the real path", // 10 V x 24.09 / 24.15; 6.5 V x 1.0039
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 6.525, Capability: 9.976, Relative: 3e-4},
		},
		{
			// Relay application note: 90 Ohm and 6.5 V at 20 C need 8.16 V at 85 C
			// (there with 0.003929 per K, here with the 0.00393 of IEC 60028).
			Name:    "published hot coil",
			Replace: []string{"min: 20, max: 20", "min: 20, max: 85", "resistance_Ohm: 24, rise_K: 1", "resistance_Ohm: 90, rise_K: 0"},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 8.16, Relative: 1e-3},
		},
		{
			// The same note's arithmetic for a 24 V coil that must operate at 75 %.
			Name:    "24 V coil on a 12 V circuit",
			Replace: []string{"nominal_V: 12, operate_V: 6.5", "nominal_V: 24, operate_V: 18", "max_V: 20", "max_V: 28", "rise_K: 1", "rise_K: 0"},
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 18, Relative: 1e-6, Primary: "coil-nominal-mismatch/k",
				Fix: "raise the lowest voltage of b"},
		},
		{
			// 0.8 V at 1 A and 0.045 V ln(I) for the rest: 0.757 V at 0.3825 A.
			Name: "a diode in the feed",
			Replace: []string{
				"  coil: {from: key.p_b,", "  coil0: {from: key.p_b, to: d.anode, size: 1.5 mm2, length_m: 1}\n  coil: {from: d.cathode,",
				"controllers:", "diodes: {d: {forward_V: 0.8, forward_at_A: 1}}\ncontrollers:"},
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 9.216, Relative: 5e-4},
		},
		{
			// 200 m of 0.5 mm2 at 39 mOhm/m: 24.05 / (24.05 + 0.044 + 7.8) x 10 V
			// (with 8.7 V in use the coil is at 20.5 C).
			Name:    "a long thin feed",
			Replace: []string{"to: key.p_a, size: 1.5 mm2, length_m: 1}", "to: key.p_a, size: 0.5 mm2, length_m: 200}", "operate_V: 6.5", "operate_V: 8"},
			Want:    ruletest.Want{Verdict: rules.Failed, Capability: 7.540, Relative: 1e-3, Fix: "reduce the drop of 2.446 V in feed (thicker or shorter)"},
		},
		{
			Name:    "an economiser draws its pick-up current and is not scaled", // 10 V x 4 / 4.0574
			Replace: economiser,
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 6.5, Capability: 9.8585, Relative: 1e-4},
		},
		{
			Name: "two economisers pull in at once", // 10 V x 2.0066 / 2.0640
			Replace: append([]string{
				"controllers:", "  k2: {contact: {carry_A: 100}, coil: {nominal_V: 12, operate_V: 6.5, drive: economiser, pickup_A: 3, hold_A: 0.3}}\ncontrollers:",
				"modes:", "  c2: {from: k.coil_pos, to: k2.coil_pos, size: 1.5 mm2, length_m: 1}\n" +
					"  r2: {from: k2.coil_neg, to: k.coil_neg, size: 1.5 mm2, length_m: 1}\n" +
					"  a2: {from: k.b, to: k2.a, size: 35 mm2, length_m: 1}\n" +
					"  b2: {from: k2.b, to: c.pos, size: 35 mm2, length_m: 1}\nmodes:"}, economiser...),
			Want: ruletest.Want{Verdict: rules.Passed, Capability: 9.7219, Relative: 1e-4},
		},
		{
			Name:    "an operate voltage that holds in the heat is not scaled",
			Replace: []string{"min: 20, max: 20", "min: 20, max: 85", "release_V", "operate_valid_to_C: 85, release_V"},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 6.5, Relative: 1e-9},
		},
		{
			Name:    "no operate voltage",
			Replace: []string{"operate_V: 6.5, ", ""},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.operate_V"},
		},
		{
			Name:    "no resistance",
			Replace: []string{"resistance_Ohm: 24, ", ""},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.resistance_Ohm"},
		},
		{
			Name:    "only in a mode that is not declared",
			Replace: []string{"closed: [key]", "closed: []"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{
			Name:    "fed from behind its own contact",
			Replace: []string{"feed: {from: b.pos", "feed: {from: k.b"},
			Want:    ruletest.Want{Verdict: rules.Failed, Message: "can never pull in"},
		},
		{
			// The draw of a mode pulls the battery to 5 V, but the contactor is long in.
			Name:    "a sagging pack is no reason not to pull in",
			Replace: []string{"min: 10, typ: 10, max: 10", "typ: 100"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
	})
}

// The working says why a voltage was or was not scaled.
func TestPullInWorking(t *testing.T) {
	for _, tc := range []struct {
		name   string
		change []string
		want   []string // symbols up to the operate voltage
	}{
		{"scaled", nil, []string{"T_a", "dT_n", "V_run", "V_n", "T_c", "V_op20", "V_op"}},
		{"stated for its ambient", []string{"release_V", "operate_valid_to_C: 85, release_V"}, []string{"T_valid", "V_op"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := fixture.Replace(t, tc.change...).On(t, coilPullInLow())["k"]
			var got []string
			for _, s := range r.Working {
				got = append(got, s.Symbol)
				if s.Symbol == "V_op" {
					break
				}
			}
			if diff := cmp.Diff(tc.want, got); diff != "" {
				t.Errorf("steps (-want +got):\n%s", diff)
			}
		})
	}
}

func TestPullInFollowers(t *testing.T) {
	rule := coilPullInLow()
	// 17.5 m of 0.5 mm2 in the emergency stop's lead: the economiser's 3.5 A are
	// too much for it, and the small relay on the same lead suffers with it.
	got := ruletest.On(t, rule, "badger",
		ruletest.Edits("wires.w_coil_stop.size", `"0.5 mm2"`, "wires.w_coil_stop.length_m", "17.5",
			"wires.w_coil_contactor.from", `"soft_timer.pos"`)...)
	r := ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	if r.Primary != "" {
		t.Errorf("primary %q of the first device", r.Primary)
	}
	r = ruletest.Verdict(t, got, "soft_relay", rules.Failed)
	if r.Primary != "coil-pull-in-low/main_contactor" {
		t.Errorf("primary %q of the second device", r.Primary)
	}
}
