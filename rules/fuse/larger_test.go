package fuse

import (
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// sized gives wires of the fixture another size.
func sized(size string, ids ...string) (edits []rules.Edit) {
	for _, id := range ids {
		edits = append(edits, rules.Edit{Path: "wires." + id + ".size", Value: `"` + size + `"`})
	}
	return edits
}

// Somebody who does what a fix says has no finding of the family after it that was
// not there before.
func TestALargerFuseHolds(t *testing.T) {
	heron, mole := filepath.Join(ruletest.Fleet(), "heron"), filepath.Join(ruletest.Fleet(), "mole")
	const file = "testdata/fixture.yaml"
	branch := func(class, a string) []rules.Edit {
		return ruletest.Edits("fuses.branch", `{"class": "`+class+`", "rated_A": `+a+`, "rated_V_dc": 80, "breaking_A_dc": 10000}`)
	}
	blade := func(watts string) []rules.Edit {
		return append(branch("blade", "10"), ruletest.Edits("loads.lamp.power_W", watts)...)
	}
	ruletest.Follow(t, Rules(), []ruletest.Advice{
		{Name: "what suits all behind it", File: heron, Mistake: ruletest.Edits("fuses.head_fuse.rated_A", "2"),
			Rule: "fuse-overloaded", Subject: "head_fuse", Says: []string{"use a fuse of 4 A for head_fuse, which suits the conductors and contacts behind it"}, Not: "divide",
			Done: ruletest.Edits("fuses.head_fuse.rated_A", "4")},
		// The return to the chassis carries what aux_fuse and the converter's 21 A let through.
		{Name: "with the fuse upstream, and what that takes", File: heron, Mistake: ruletest.Edits("loads.headlamp.power_W", "120"),
			Rule: "fuse-overloaded", Subject: "head_fuse", Says: []string{"use a fuse of 20 A for head_fuse, and with it aux_fuse upstream at least 40 A to stay selective and at least 10 mm2 for w_chassis"},
			Done: ruletest.Edits("fuses.head_fuse.rated_A", "20", "fuses.aux_fuse.rated_A", "40", "wires.w_chassis.size", `"10 mm2"`)},
		{Name: "far more than the next size", File: heron, Mistake: ruletest.Edits("fuses.aux_fuse.rated_A", "2"),
			Rule: "fuse-overloaded", Subject: "aux_fuse", Says: []string{"use a fuse of 20 A for aux_fuse"},
			Done: ruletest.Edits("fuses.aux_fuse.rated_A", "20")},
		// 1200 W at 48 V are 29 A at a full pack, of 0.80 * 0.97 * 40 A; 31 A is the ampacity of 2.5 mm2.
		{Name: "with conductors", File: file, Mistake: append(branch("ul", "10"), ruletest.Edits("loads.lamp.power_W", "1200")...),
			Rule: "fuse-overloaded", Subject: "branch", Says: []string{"use a fuse of 40 A for branch, and with it at least 4 mm2 for w_branch, w_in, w_in_neg and 2 more"},
			Done: append(branch("ul", "40"), sized("4 mm2", "w_branch", "w_in", "w_in_neg", "w_lamp", "w_lamp_neg")...)},
		{Name: "of another class", File: file, Mistake: blade("1900"),
			Rule: "fuse-overloaded", Subject: "branch", Says: []string{"no blade fuse carries that (they end at 40 A): use a blade-high-current fuse of 60 A for branch (rated at least"},
			Done: append(branch("blade-high-current", "60"), sized("10 mm2", "w_branch", "w_in", "w_in_neg", "w_lamp", "w_lamp_neg")...)},
		{Name: "with contacts", File: file, Mistake: isolated("w_lamp", "from", "branch.b", "12", append(branch("ul", "10"), ruletest.Edits("loads.lamp.power_W", "400", "modes.light.closed", `["isolator"]`)...)),
			Rule: "fuse-overloaded", Subject: "branch", Says: []string{"use a fuse of 15 A for branch, and with it contacts rated 15 A for isolator"},
			Done: append(branch("ul", "15"), ruletest.Edits("disconnects.isolator.carry_A", "15")...)},
		{Name: "with its holder", File: heron, Mistake: ruletest.Edits("fuses.head_fuse.rated_A", "2", "fuses.head_fuse.holder", `{"rated_A": 3, "rated_V_dc": 32}`),
			Rule: "fuse-overloaded", Subject: "head_fuse", Says: []string{"use a fuse of 4 A for head_fuse, and with it a holder rated 4 A"},
			Done: ruletest.Edits("fuses.head_fuse.rated_A", "4", "fuses.head_fuse.holder.rated_A", "4")},
		// Work lamps of 110 W take 7.97 A each, more than a fuse that 16 A open.
		{Name: "that the converter would not open", File: mole, Mistake: ruletest.Edits("loads.work_left.power_W", "110"),
			Rule: "fuse-overloaded", Subject: "work_fuse", Says: []string{"work_fuse would have to be 15 A, and the 16 A that converter can supply do not reliably open more than 8 A: use a converter with a current limit of at least 30 A"}, Not: "divide",
			Done: ruletest.Edits("fuses.work_fuse.rated_A", "15", "converters.converter.output.limit_A", "30")},
		{Name: "that opens in use", File: file, Mistake: ruletest.Edits("fuses.main", `{"class": "bolt-down", "rated_A": 60, "rated_V_dc": 80, "breaking_A_dc": 10000}`, "modes.climb.draw.drive.current_A", "88"),
			Rule: "fuse-opens-in-use", Subject: "main", Says: []string{"use a fuse of"},
			Done: ruletest.Edits("fuses.main.rated_A", "80")},
		{Name: "that tires", File: file, Mistake: ruletest.Edits("fuses.main", `{"class": "bolt-down", "rated_A": 80, "rated_V_dc": 80, "breaking_A_dc": 10000}`, "modes.climb.draw.drive.current_A", "88"),
			Rule: "fuse-fatigued", Subject: "main", Says: []string{"use a fuse of 100 A"},
			Done: ruletest.Edits("fuses.main.rated_A", "100")},
	})
}

// What a fix makes of the loop of a short circuit lets the current through that
// opens the fuse in time, and a size suits every rule of the family.
func TestASizeHolds(t *testing.T) {
	heron := filepath.Join(ruletest.Fleet(), "heron")
	const file = "testdata/fixture.yaml"
	ruletest.Follow(t, Rules(), []ruletest.Advice{
		{Name: "one long lead", File: heron, Mistake: ruletest.Edits("wires.w_horn_pos.length_m", "60"),
			Rule: "fuse-far-fault-slow", Subject: "w_horn_pos", Says: []string{"use at least 4 mm2 for w_horn_pos (611 of the loop's 698 mOhm), or use a fuse of 5 A for horn_fuse"},
			Done: ruletest.Edits("wires.w_horn_pos.size", `"4 mm2"`)},
		{Name: "or its smaller fuse", File: heron, Mistake: ruletest.Edits("wires.w_horn_pos.length_m", "60"),
			Rule: "fuse-far-fault-slow", Subject: "w_horn_pos", Done: ruletest.Edits("fuses.horn_fuse.rated_A", "5")},
		// 40 V over 25.1 A are 1590 mOhm; 29.02 A take 1378.
		{Name: "two leads", File: file, Mistake: ruletest.Edits("wires.w_lamp_neg.length_m", "130", "wires.w_lamp.length_m", "130"),
			Rule: "fuse-far-fault-slow", Subject: "w_in", Says: []string{"for w_lamp and w_lamp_neg (1320 + 1320 of the loop's"},
			Done: sized("6 mm2", "w_lamp", "w_lamp_neg")},
		{Name: "the lead that has most of the loop", File: file, Mistake: ruletest.Edits("wires.w_lamp_neg.length_m", "150"),
			Rule: "fuse-far-fault-slow", Subject: "w_in", Says: []string{"use at least 4 mm2 for w_lamp_neg (1530 of the loop's 1590 mOhm), or use a fuse for branch that opens within 5 s at 25 A"},
			Done: sized("4 mm2", "w_lamp_neg")},
		{Name: "damage", File: file, Mistake: ruletest.Edits("fuses.main.opening.max", `[{"current_A": 135, "s": 1800}, {"current_A": 200, "s": 1500}, {"current_A": 350, "s": 900}, {"current_A": 500, "s": 90}]`),
			Rule: "fuse-slower-than-damage", Subject: "w_drive_neg", Says: []string{"use at least 70 mm2 for w_drive_neg, or a fuse for main that opens within 135 s at 350 A"},
			Done: sized("70 mm2", "w_drive_neg")},
		{Name: "energy", File: heron, Mistake: ruletest.Edits("wires.w_fuse_isolator.size", `"2.5 mm2"`),
			Rule: "fuse-withstand-short", Subject: "w_fuse_isolator", Says: []string{"use at least 25 mm2"},
			Done: ruletest.Edits("wires.w_fuse_isolator.size", `"25 mm2"`)},
		{Name: "overload", File: heron, Mistake: ruletest.Edits("wires.w_contactor_drive.size", `"16 mm2"`),
			Rule: "fuse-above-ampacity", Subject: "w_contactor_drive", Says: []string{"use at least 25 mm2"},
			Done: ruletest.Edits("wires.w_contactor_drive.size", `"25 mm2"`)},
	})
}

// So with the other fixes of the family.
func TestOtherFixesHold(t *testing.T) {
	const file = "testdata/fixture.yaml"
	gG := func(main, branch string) []rules.Edit {
		return ruletest.Edits("fuses.main", `{"class": "gG", "rated_A": `+main+`, "rated_V_dc": 80, "breaking_A_dc": 10000}`,
			"fuses.branch", `{"class": "gG", "rated_A": `+branch+`, "rated_V_dc": 80, "breaking_A_dc": 10000}`, "batteries.pack.resistance_mOhm", "15")
	}
	ruletest.Follow(t, Rules(), []ruletest.Advice{
		{Name: "a smaller branch that is selective", File: file, Mistake: gG("80", "63"),
			Rule: "fuse-not-selective", Subject: "branch", Says: []string{"use a fuse of 50 A for branch"}, Not: "for main", // 125 A are too much for the drive

			Done: gG("80", "50")},
		// The lamp of 1700 W takes 41 A: 40 A would be selective, and too small.
		{Name: "not one that is too small", File: file, Mistake: append(gG("80", "63"), ruletest.Edits("loads.lamp.power_W", "2300", "controllers.drive.battery_peak_A", "110")...),
			Rule: "fuse-not-selective", Subject: "branch", Says: []string{"use a fuse of 125 A for main"}, Not: "for branch",
			Done: append(gG("125", "63"), ruletest.Edits("loads.lamp.power_W", "2300", "controllers.drive.battery_peak_A", "110")...)},
		{Name: "volts, with the breaking capacity there", File: file, Mistake: ruletest.Edits("fuses.branch.rated_V_dc", "32", "fuses.branch.breaking_A_dc", "2000"),
			Rule: "fuse-voltage-low", Subject: "branch", Says: []string{"use a fuse rated at least 57 V DC, with a breaking capacity of at least 5200 A at that voltage"},
			Done: ruletest.Edits("fuses.branch.rated_V_dc", "57", "fuses.branch.breaking_A_dc", "5200")},
		{Name: "breaking capacity, at the volts", File: file, Mistake: ruletest.Edits("fuses.branch.breaking_A_dc", "2000"),
			Rule: "fuse-breaking-low", Subject: "branch", Says: []string{"use a fuse with a DC breaking capacity of at least 5200 A at 57 V DC"},
			Done: ruletest.Edits("fuses.branch.breaking_A_dc", "5200", "fuses.branch.breaking_at_V", "57")},
		{Name: "contacts", File: file, Mistake: isolated("w_drive", "from", "main.b", "57", nil),
			Rule: "fuse-above-contact-rating", Subject: "isolator", Says: []string{"use contacts rated at least 60 A for isolator"}, Not: "or a fuse",
			Done: ruletest.Edits("disconnects.isolator.carry_A", "60")},
		{Name: "a smaller fuse that its converter opens", File: filepath.Join(ruletest.Fleet(), "mole"), Mistake: ruletest.Edits("fuses.work_fuse.rated_A", "20"),
			Rule: "fuse-cannot-open", Subject: "work_fuse", Says: []string{"use a fuse of 7.5 A for work_fuse, or add an auxiliary battery"},
			Done: ruletest.Edits("fuses.work_fuse.rated_A", "7.5")},
		{Name: "a fuse that matches its controller", File: file, Mistake: ruletest.Edits("fuses.main", `{"class": "bolt-down", "rated_A": 150, "rated_V_dc": 80, "breaking_A_dc": 10000}`),
			Rule: "fuse-controller-mismatch", Subject: "main", Says: []string{"if it is, use a fuse of 100 A for main"},
			Done: ruletest.Edits("fuses.main.rated_A", "100")},
	})
}

// Where one rating is too small for the load and the other too large for the
// controller, neither is proposed.
func TestNoRatingIsSelective(t *testing.T) {
	edits := ruletest.Edits("fuses.main", `{"class": "gG", "rated_A": 80, "rated_V_dc": 80}`, "fuses.branch", `{"class": "gG", "rated_A": 63, "rated_V_dc": 80}`, "loads.lamp.power_W", "2300")
	fixture.Play(t, notSelective(), []ruletest.Scene{{Name: "neither", Edits: edits, Subject: "branch",
		Want: ruletest.Want{Verdict: rules.Failed, Fix: "use a faster fuse for branch or a slower one for main: no rating"}}})
}

// What limits a current is named once, with its amperes.
func TestLimitsAreNamedOnce(t *testing.T) {
	edits := isolated("w_pack", "from", "pack.pos", "20", ruletest.Edits("fuses.main.min_breaking_A", "400", "controllers.drive.bleed_kOhm", "1", "controllers.drive.capacitance_uF", "100"))
	r := fixture.On(t, aboveContact(), edits...)["isolator"]
	if want := "limited only by the 10 A fuse branch and drive (60.06 A)"; !strings.HasSuffix(r.Message, want) {
		t.Errorf("%s: %s; want %q", r.Verdict, r.Message, want)
	}
}
