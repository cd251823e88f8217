package record

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

func TestPartUnused(t *testing.T) {
	rule := partUnused()
	t.Run("a load that no mode turns on", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron",
			ruletest.Edits("loads.pump", `{"kind": "motor", "power_W": 20, "at_V": 13}`,
				"wires.w_pump", `{"from": "house_plus.stud", "to": "pump.pos", "size": "1.5 mm2", "length_m": 1}`,
				"wires.w_pump_neg", `{"from": "pump.neg", "to": "house_minus.stud", "size": "1.5 mm2", "length_m": 1}`)...)
		r := ruletest.Verdict(t, got, "pump", rules.Failed)
		if want := "pump is on in no mode, so it is not known how long it is on and with what"; r.Message != want {
			t.Errorf("message %q, want %q", r.Message, want)
		}
		// It is wired: marked spare it would be spare-in-use.
		if want := "add pump to on of the modes in which it is used; of a part that is not fitted remove the conductors and mark it spare: true"; r.Fix != want {
			t.Errorf("fix %q, want %q", r.Fix, want)
		}
	})
	t.Run("a free required terminal is another rule's", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", ruletest.Edits("loads.pump", `{"kind": "motor", "power_W": 20, "at_V": 13}`)...)
	})
	t.Run("a stud on which nothing meets", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", ruletest.Edits("studs.free", `{}`)...)
		if r := ruletest.Verdict(t, got, "free", rules.Failed); r.Fix != "connect free, remove it, or mark it spare: true" {
			t.Errorf("fix %q", r.Fix)
		}
	})
	t.Run("a spare is silent", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", ruletest.Edits("switches.second", `{"poles": {"a": {}}, "spare": true}`)...)
	})
	t.Run("without modes nothing is known of use", func(t *testing.T) { // modes-missing says so
		ruletest.Silent(t, rule, "heron", ruletest.Edits("modes", "", "cycle", "")...)
	})
	t.Run("a mode with a mistake may be the one that uses it", func(t *testing.T) {
		file := ruletest.Write(t, t.TempDir(), "cart.yaml", `
headroom: 1
vehicle: {name: Cart, use: off-road, chassis: isolated}
switches: {second: {poles: {a: {}}}}
modes: {odd: {on: [nothing]}}
`)
		loaded := schema.Read(t.Context(), schema.Target{Path: file, Format: "yaml"}, schema.Options{})
		if loaded.Err != nil {
			t.Fatal(loaded.Err)
		}
		for _, r := range ruletest.Run(t, loaded.Spec, []*rules.Rule{rule}) {
			if r.Verdict != rules.NotChecked || r.Missing != "modes.odd" {
				t.Errorf("%s: %s, missing %q; want it not checked for want of modes.odd", r.Subject, r.Verdict, r.Missing)
			}
		}
	})
}
