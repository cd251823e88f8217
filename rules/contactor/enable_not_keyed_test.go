package contactor

import (
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestEnableNotKeyed(t *testing.T) {
	rule := enableNotKeyed()
	past := ruletest.Edits("wires.w_enable.from", `"key.drive_a"`)
	if r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", past...), "drive", rules.Failed); r.Level != rules.Warning {
		t.Errorf("the contactor still opens: %s", r.Level)
	}
	// With the coil fed past the key as well the drive stays ready.
	both := ruletest.On(t, rule, "heron", append(past, ruletest.Edits("wires.w_coil_contactor.from", `"key.house_a"`)...)...)
	if r := ruletest.Verdict(t, both, "drive", rules.Failed); r.Level != rules.Error || r.Primary != "contactor-not-keyed/main_contactor" {
		t.Errorf("%s, following from %q", r.Level, r.Primary)
	}
	none := ruletest.On(t, rule, "heron", ruletest.Edits("switches.key.role", `"other"`)...)
	ruletest.Verdict(t, none, "drive", rules.NotChecked)
	t.Run("a contactor in the negative side", func(t *testing.T) {
		// The key opens no feed of the input: what still keeps it off is one contact in
		// its return, which may weld.
		path := filepath.Join("..", "..", "testdata", "sound", "negative-side-contactor.yaml")
		past := rules.Edit{Path: "wires.w10.from", Value: `"key.drive_a"`}
		r, ok := ruletest.Finding(ruletest.Run(t, ruletest.Changed(t, path, past), []*rules.Rule{rule}), "drive")
		if !ok || r.Level != rules.Warning || !strings.Contains(r.Message, "fed through") || !strings.Contains(r.Message, "only the contact of main_contactor") {
			t.Errorf("fed past the key: found %v, %s: %s", ok, r.Level, r.Message)
		}
		if r, ok := ruletest.Finding(ruletest.Run(t, ruletest.Changed(t, path), []*rules.Rule{rule}), "drive"); ok {
			t.Errorf("false alarm: %s", r.Message)
		}
	})
	t.Run("two contactors in the negative side", func(t *testing.T) {
		// One of them may weld, and the other still opens the return: that is what the
		// key does, and not that it opens every feed.
		path := filepath.Join("..", "..", "testdata", "sound", "negative-side-contactor.yaml")
		second := ruletest.Edits("wires.w10.from", `"key.drive_a"`, "wires.w4.to", `"second.a"`, "wires.w12.to", `"pack.neg"`,
			"contactors.second", `{"contact": {"carry_A": 150, "rated_V_dc": 80}, "coil": {"nominal_V": 48, "operate_V": 27, "release_V": 4.8, "max_V": 72, "resistance_Ohm": 280}}`,
			"wires.s1", `{"from": "second.b", "to": "pack.neg", "size": "50 mm2", "length_m": 0.1}`,
			"wires.s2", `{"from": "key.drive_b", "to": "second.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.s3", `{"from": "second.coil_neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.1}`)
		for _, r := range ruletest.Run(t, ruletest.Changed(t, path, second...), []*rules.Rule{rule}) {
			if r.Verdict != rules.Passed || !strings.Contains(r.Message, "opens the return") {
				t.Errorf("%s: %s", r.Verdict, r.Message)
			}
		}
	})
	t.Run("an enable input that is not wired", func(t *testing.T) {
		// The contactor in the supply is keyed: the key turns all of it off.
		ruletest.Expect(t, fixture.On(t, rule), "c", ruletest.Want{Verdict: rules.Passed})
		past := fixture.Replace(t, "coil: {from: key.p_b", "coil: {from: b.pos")
		ruletest.Expect(t, past.On(t, rule), "c", ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Primary: "contactor-not-keyed/k"})
		straight := fixture.Replace(t, "load: {from: k.b", "load: {from: b.pos")
		ruletest.Expect(t, straight.On(t, rule), "c", ruletest.Want{Verdict: rules.Failed, Level: rules.Error})
	})
}
