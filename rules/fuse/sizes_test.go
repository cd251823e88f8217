package fuse

import (
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A fix names what would hold: a smaller fuse only if it withstands its loads, a
// larger one with the conductors that must grow, a fuse of its own for a
// charger's lead, a cable that meets every rule.
func TestFixesHold(t *testing.T) {
	for _, tc := range []struct {
		name, vehicle, subject string
		rule                   *rules.Rule
		edits                  []rules.Edit
		says, not              string
	}{
		{"a smaller fuse that withstands its loads", "heron", "w_contactor_drive", aboveAmpacity(),
			ruletest.Edits("wires.w_contactor_drive.size", `"35 mm2"`,
				"fuses.main", `{"class": "bolt-down", "rated_A": 200, "rated_V_dc": 125, "breaking_A_dc": 10000}`), "a fuse of at most 150 A for main", ""},
		// 100 A would ride, but at the 135 A that surely open it 16 mm2 are hot before it does.
		{"no smaller fuse protects it", "heron", "w_contactor_drive", aboveAmpacity(),
			ruletest.Edits("wires.w_contactor_drive.size", `"16 mm2"`), "use at least 25 mm2", "at most"},
		// 6 mm2 carry less than the 62 A of the cycle, so no fuse suits both.
		{"no smaller fuse withstands its loads", "heron", "w_contactor_drive", aboveAmpacity(),
			ruletest.Edits("wires.w_contactor_drive.size", `"6 mm2"`), "no smaller fuse", "at most"},
		// The key's feed without its fuse: one beyond the key would leave w_key bare.
		{"a branch that lacks its fuse", "mole", "w_coil", aboveAmpacity(), ruletest.Edits("wires.w_key.from", `"plus.stud"`),
			"fit a fuse of at most 20 A at the supply end of w_key, which feeds w_coil, within 0.178 m of plus.stud", "mm2"},
		// The tap before the key is short enough to need none, but what is behind the key needs one before it.
		{"a key fuse left out", "../sound/gg-main-fuse.yaml", "w11", aboveAmpacity(), ruletest.Edits("fuses.key_fuse", "", "wires.w9", "", "wires.w8.to", `"key.drive_a"`),
			"fit a fuse of at most 20 A at the supply end of w8, which feeds w11, within 0.178 m of main_contactor.a", "mm2"},
		{"the lead of a pre-charge resistor", "heron", "w_soft_contactor", aboveAmpacity(), ruletest.Edits("wires.w_soft_contactor.length_m", "0.6"),
			"fit a fuse of at most 30 A at the supply end of w_soft_contactor", ""},
		{"a return", "mole", "w_coil_ret", aboveAmpacity(), ruletest.Edits("wires.w_key.from", `"plus.stud"`), "use at least", "fit a fuse"},
		{"a return to several sources", "heron", "w_aux_neg", aboveAmpacity(), ruletest.Edits("wires.w_aux_neg.size", `"0.5 mm2"`), "use at least", "fit a fuse"},
		{"a charger's lead", "mole", "w_charge_pos", aboveAmpacity(),
			ruletest.Edits("wires.w_charge_pos.from", `"plus.stud"`), "fit a fuse of 20 A for charger at the battery end of its cable", "mm2"},
		// 1.5 mm2 carry 23 A behind 25 A: there is a fuse, and one of 20 A opens at 27 A.
		{"a charger's lead with a fuse of its own", "heron", "w_charge_pos", aboveAmpacity(), ruletest.Edits(
			"wires.w_charge_pos.size", `"1.5 mm2"`, "wires.w_charge_neg.size", `"1.5 mm2"`), "use at least 2.5 mm2 for w_charge_pos (no smaller fuse for charge_fuse", "fit a fuse"},
		{"a larger fuse that suits its conductors", "heron", "head_fuse", overloaded(),
			ruletest.Edits("fuses.head_fuse.rated_A", "2"), "which suits the conductors and contacts behind it", "with it"},
		// The converter supplies 16 A, and a blade fuse is open within 5 s at twice its
		// rating. 50 W take 5.6 A at 9 V, of 0.80 * 0.97 * 7.5 A.
		{"no larger fuse would open", "mole", "work_fuse", overloaded(),
			ruletest.Edits("loads.work_left.power_W", "50", "loads.work_right.power_W", "50"), "do not reliably open more than 8 A: divide its loads over fuses of at most 7.5 A each, or use a converter with a current limit of at least 20 A", "use a fuse"},
		// The branch's own fuse is at the far end of its cable.
		{"a fuse at the wrong end", "mole", "w_tap", withstandShort(), ruletest.Edits(
			"fuses.tap_fuse", `{"class": "ul", "rated_A": 3, "rated_V_dc": 80, "breaking_A_dc": 10000}`,
			"wires.w_tap", `{"from": "plus.stud", "to": "tap_fuse.a", "size": "1.5 mm2", "length_m": 2, "insulation": {"max_C": 105, "rated_V": 600}}`,
			"wires.w_tap_2", `{"from": "tap_fuse.b", "to": "voltmeter.pos", "size": "1.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`,
			"wires.w_voltmeter_pos", ""),
			"move tap_fuse to the supply end of w_tap", ""},
		// The cable withstands the short circuit from 4 mm2 on, but the fuse's 125 A only from 25 mm2.
		{"a cable for all rules", "heron", "w_fuse_isolator", withstandShort(),
			ruletest.Edits("wires.w_fuse_isolator.size", `"2.5 mm2"`), "use at least 25 mm2", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := ruletest.On(t, tc.rule, tc.vehicle, tc.edits...)[tc.subject]
			if !r.IsFinding() || !strings.Contains(r.Fix, tc.says) || tc.not != "" && strings.Contains(r.Fix, tc.not) {
				t.Errorf("%s: %s", r.Verdict, r.Fix)
			}
		})
	}
}

// The main fuse of one of two packs is at its pack: moved to the far end of a bar that
// the other pack feeds, it would leave its own leads without a fuse.
func TestAFuseStaysAtItsBattery(t *testing.T) {
	spec := ruletest.Changed(t, filepath.Join(ruletest.Fleet(), "..", "sound", "parallel-packs.yaml"), ruletest.Edits("fuses.main2.rated_A", "250")...)
	found := 0
	for _, r := range ruletest.Run(t, spec, Rules()) {
		if r.IsFinding() {
			found++
			if strings.Contains(r.Fix, "move main") {
				t.Errorf("%s of %s: %s", r.Rule, r.Subject, r.Fix)
			}
		}
	}
	if found == 0 {
		t.Error("a fuse of 250 A is found in nothing")
	}
}
