package wiring

import (
	"math"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestConductorUnprotected(t *testing.T) {
	rule := conductorUnprotected()

	t.Run("0.178 m from the battery is allowed, 0.179 m is not", func(t *testing.T) {
		at := func(m string) map[string]rules.Result {
			return ruletest.On(t, rule, "heron", ruletest.Edits("wires.w_pack_fuse.sheathed", "false",
				"wires.w_pack_fuse.length_m", m)...)
		}
		ruletest.Verdict(t, at("0.178"), "w_pack_fuse", rules.Passed)
		r := ruletest.Verdict(t, at("0.2"), "w_pack_fuse", rules.Failed)
		if strings.Contains(r.Message, "no main fuse") {
			t.Errorf("the main fuse is there, though too far away: %s", r.Message)
		}
		if !strings.HasPrefix(r.Fix, "move main to pack.pos, within 0.178 m") {
			t.Errorf("the fuse is there and has to be moved: %s", r.Fix)
		}
		if want := 0.178 / 0.2; math.Abs(r.Headroom-want) > 1e-9 {
			t.Errorf("headroom %v, want %v", r.Headroom, want)
		}
	})
	t.Run("one bare lead carries the conductors beyond it as followers", func(t *testing.T) {
		// Without the main fuse everything behind it is bare.
		got := ruletest.On(t, rule, "mole", ruletest.Edits("fuses.main", "",
			"wires.w_pack_fuse.to", `"isolator.a"`, "wires.w_pack_fuse.length_m", "0.4",
			"wires.w_fuse_isolator", "")...)
		first := ruletest.Verdict(t, got, "w_pack_fuse", rules.Failed)
		if first.Primary != "" {
			t.Errorf("the first bare conductor follows from %s", first.Primary)
		}
		if !strings.HasPrefix(first.Message, "pack has no main fuse and feeds drive without one") || !strings.HasPrefix(first.Fix, "fit the main fuse of pack at pack.pos") {
			t.Errorf("the pack is not named: %s: %s", first.Message, first.Fix)
		}
		follower := ruletest.Verdict(t, got, "w_isolator_plus", rules.Failed)
		if want := "conductor-unprotected/w_pack_fuse"; follower.Primary != want {
			t.Errorf("primary %q, want %q", follower.Primary, want)
		}
	})
	t.Run("a branch from the pole before the main fuse is asked for a fuse of its own there", func(t *testing.T) {
		got := ruletest.On(t, rule, "../sound/gg-main-fuse.yaml", ruletest.Edits("fuses.key_fuse", "", "wires.w8", "", "wires.w9.from", `"pack.pos"`)...)
		if r := ruletest.Verdict(t, got, "w9", rules.Failed); !strings.HasPrefix(r.Fix, "fit a fuse of at most 20 A for w9 at pack.pos, within 0.178 m") {
			t.Error(r.Fix)
		}
	})
	t.Run("what nothing feeds any more is silent", func(t *testing.T) {
		// The wire behind the main fuse is missing, and with it the feed of all returns.
		got := ruletest.On(t, rule, "../sound/ar-main-fuse.yaml", ruletest.Edits("wires.w2", "")...)
		for _, id := range []string{"w5", "w12"} {
			ruletest.Verdict(t, got, id, rules.Passed)
		}
	})
	t.Run("a pack with a fuse of its own is silent", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", ruletest.Edits("batteries.pack.internal_fuse_A", "150",
			"wires.w_pack_fuse.length_m", "2.4")...)
	})
	t.Run("a fuse inside the upper battery of a string is in no loop of a tap below it", func(t *testing.T) {
		wire := func(from, to string) string {
			return `{"from": "` + from + `", "to": "` + to + `", "size": "2.5 mm2", "length_m": 1.5, "insulation": {"max_C": 105, "rated_V": 600}}`
		}
		tap := func(fused string) map[string]rules.Result {
			return ruletest.On(t, rule, "../sound/series-string.yaml", ruletest.Edits("batteries."+fused+".internal_fuse_A", "160",
				"loads.lamp", `{"kind": "led", "power_W": 10, "at_V": 12.8}`, "wires.tap", wire("b4.pos", "lamp.pos"), "wires.tap_back", wire("lamp.neg", "b4.neg"))...)
		}
		if r := ruletest.Verdict(t, tap("b1"), "tap", rules.Failed); !strings.Contains(r.Message, "from b4") {
			t.Error(r.Message)
		}
		ruletest.Verdict(t, tap("b4"), "tap", rules.Passed)
	})
	t.Run("behind a pre-charge resistor the current is V_max/R", func(t *testing.T) {
		// Moved to its own lead from the pack: 58.4 V / 470 Ohm = 0.124 A.
		got := ruletest.On(t, rule, "mole", ruletest.Edits("wires.w_soft_out.to", `"voltmeter.pos"`,
			"wires.w_voltmeter_pos", "", "wires.w_soft_in.from", `"pack.pos"`)...)
		r := ruletest.Verdict(t, got, "w_soft_out", rules.Passed)
		if math.Abs(r.Demand.Value-58.4/470) > 1e-6 {
			t.Errorf("demand %v, want %v: %s", r.Demand, 58.4/470, r.Message)
		}
	})
	t.Run("a conductor on a limited converter is left to the rule for those", func(t *testing.T) {
		ruletest.Silent(t, rule, "mole", ruletest.Edits("wires.w_converter_out.size", `"0.5 mm2"`)...)
	})
	t.Run("without its insulation's limit a conductor behind a resistor is taken for PVC", func(t *testing.T) {
		got := ruletest.On(t, rule, "mole", ruletest.Edits("wires.w_soft_out.to", `"voltmeter.pos"`,
			"wires.w_voltmeter_pos", "", "wires.w_soft_in.from", `"pack.pos"`,
			"wires.w_soft_out.insulation", "")...)
		ruletest.Verdict(t, got, "w_soft_out", rules.Passed)
	})
	t.Run("sense leads are left to the rule that asks for their fuse", func(t *testing.T) {
		// A shunt right at the pack's positive terminal, before the main fuse: its
		// leads are bare, and nothing but them.
		conductor := func(from, to, size, m string) string {
			return `{"from": "` + from + `", "to": "` + to + `", "size": "` + size + `", "length_m": ` + m + `, "insulation": {"max_C": 90}}`
		}
		edits := ruletest.Edits(
			"shunts.probe", `{"rated_A": 300, "drop_mV": 50}`,
			"meters.shown", `{"shows": "current", "shunt": "probe"}`,
			"wires.w_probe", conductor("pack.pos", "probe.a", "50 mm2", "0.05"),
			"wires.w_pack_fuse.from", `"probe.b"`,
			"wires.w_pack_fuse.length_m", "0.1",
			"wires.w_sense_a", conductor("probe.sense_a", "shown.sense_a", "0.5 mm2", "0.15"),
			"wires.w_sense_b", conductor("probe.sense_b", "shown.sense_b", "0.5 mm2", "0.15"),
		)
		got := ruletest.On(t, rule, "mole", edits...)
		for subject, r := range got {
			if r.IsFinding() {
				t.Errorf("%s: %s", subject, r.Message)
			}
		}
		ruletest.Verdict(t, got, "w_pack_fuse", rules.Passed)
		// Nor do others follow from them.
		got = ruletest.On(t, rule, "mole", append(edits, ruletest.Edits("wires.w_pack_fuse.length_m", "0.4")...)...)
		if r := ruletest.Verdict(t, got, "w_pack_fuse", rules.Failed); r.Primary != "" {
			t.Errorf("follows from %s", r.Primary)
		}
	})
}

// 7 and 40 in of 33 CFR 183.455, and 72 in of ABYC E-11 (WE62 of testdata/published),
// in whole millimetres.
func TestPublishedDistances(t *testing.T) {
	policy := ruletest.Load(t, "../../testdata/first/first.yaml").Policy
	for name, at := range map[string]struct{ got, inches float64 }{
		"any conductor":                   {policy.FuseDistanceM, 7},
		"in a sheath or enclosure":        {policy.FuseDistanceSheathedM, 40},
		"sheathed, on a battery terminal": {policy.FuseDistanceAtBatteryM, 72},
	} {
		if math.Abs(at.got-0.0254*at.inches) > 0.5e-3 {
			t.Errorf("%s: %v m, want %v in", name, at.got, at.inches)
		}
	}
}
