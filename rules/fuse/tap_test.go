package fuse

import (
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// tapWire is a wire of the tests below.
func tapWire(from, to, size, length, more string) string {
	return `{"from": "` + from + `", "to": "` + to + `", "size": "` + size + `", "length_m": ` + length + more +
		`, "insulation": {"max_C": 90, "rated_V": 600, "material": "XLPE"}}`
}

// A thin wire from behind the main fuse to a resistor, over a stud on the way.
func overStud(first, second string) []rules.Edit {
	return ruletest.Edits(
		"fuses.main.opening.max", slowMain,
		"studs.joint", `{}`,
		"resistors.bleed", `{"role": "bleed", "resistance_Ohm": 1000}`,
		"wires.t1", first,
		"wires.t2", second,
		"wires.t3", tapWire("bleed.b", "drive.neg", "2.5 mm2", "0.1", ""),
	)
}

// The length of a tap adds up against the current, from where the wire begins
// to be thin; a thick wire that branches off behind the thin one is no way to
// the fuse.
func TestTapAddsUp(t *testing.T) {
	thin := func(length, more string) string { return tapWire("main.b", "joint.stud", "2.5 mm2", length, more) }
	last := func(length, more string) string {
		return tapWire("joint.stud", "bleed.a", "2.5 mm2", length, more)
	}
	thick := tapWire("main.b", "joint.stud", "35 mm2", "2", "")
	sheath := `, "sheathed": true`
	beside := append(overStud(thin("3", ""), last("0.1", "")), ruletest.Edits(
		"studs.other", `{}`,
		"wires.t4", tapWire("joint.stud", "other.stud", "35 mm2", "0.05", ""),
		"resistors.more", `{"role": "bleed", "resistance_Ohm": 1000}`,
		"wires.t5", tapWire("other.stud", "more.a", "35 mm2", "0.05", ""),
		"wires.t6", tapWire("more.b", "drive.neg", "35 mm2", "0.1", ""),
	)...)
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
		{Name: "from the thick wire", Edits: overStud(thick, last("0.17", "")), Subject: "t2", Want: ruletest.Want{Verdict: rules.Passed, Message: "tap of 0.17 m, short enough to need no fuse of its own: it ends in bleed (0.0566 A)"}},
		{Name: "two bare pieces together short", Edits: overStud(thin("0.08", ""), last("0.09", "")), Subject: "t2", Want: ruletest.Want{Verdict: rules.Passed, Message: "tap of 0.17 m"}},
		{Name: "two bare pieces together long", Edits: overStud(thin("0.1", ""), last("0.1", "")), Subject: "t2", Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "sheathed, its end bare", Edits: overStud(thin("0.8", sheath), last("0.17", "")), Subject: "t2", Want: ruletest.Want{Verdict: rules.Passed, Message: "tap of 0.97 m"}},
		{Name: "sheathed, its end bare for too long", Edits: overStud(thin("0.8", sheath), last("0.19", "")), Subject: "t2", Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "sheathed, together long", Edits: overStud(thin("0.9", sheath), last("0.15", sheath)), Subject: "t2", Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "a thick wire beside it", Edits: beside, Subject: "t2", Want: ruletest.Want{Verdict: rules.Failed, Primary: "fuse-above-ampacity/t1"}},
	})
}

// A resistor past a fuse protects a wire that carries the V/R that it lets
// through, IEC 60364-4-43, 436: 56 V over 5 Ohm are 11.2 A, more than a
// pre-charge may pass by the policy, but less than a wire of 2.5 mm2 carries.
func TestResistorPastTheFuse(t *testing.T) {
	past := func(ohm, size string) []rules.Edit {
		return ruletest.Edits(
			"resistors.soft", `{"role": "precharge", "resistance_Ohm": `+ohm+`}`,
			"wires.p1", tapWire("drive.pos", "soft.a", "35 mm2", "0.1", ""),
			"wires.p2", tapWire("soft.b", "branch.b", size, "0.5", ""),
		)
	}
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
		{Name: "carries V/R", Edits: past("5", "2.5 mm2"), Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.Passed, Demand: 10}},
		{Name: "the resistor's own lead", Edits: past("5", "2.5 mm2"), Subject: "p2", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "does not carry it", Edits: past("1", "2.5 mm2"), Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.Failed, Demand: 100}},
	})
}

// A charger on the stud that a tap leads from gives no more than the tap carries: the
// way from there to its own fuse is not the tap's.
func TestTapBesideACharger(t *testing.T) {
	spec := ruletest.Changed(t, filepath.Join(ruletest.Fleet(), "..", "first", "first.yaml"), ruletest.Edits(
		"chargers.charger", `{"max_V": 58.4, "max_A": 5, "isolated": true, "pluggable": true, "inhibits_drive": true}`,
		"fuses.charge_fuse", `{"class": "ul", "rated_A": 10, "rated_V_dc": 80, "breaking_A_dc": 20000}`,
		"wires.c1", tapWire("main_contactor.a", "charge_fuse.a", "2.5 mm2", "0.1", ""),
		"wires.c2", tapWire("charge_fuse.b", "charger.pos", "2.5 mm2", "1", ""),
		"wires.c3", tapWire("charger.neg", "drive.neg", "2.5 mm2", "1", ""),
	)...)
	told := 0
	for _, r := range ruletest.Run(t, spec, Rules()) {
		if r.Rule != "fuse-slower-than-damage" || r.Subject != "w8" {
			continue
		}
		told++
		if r.Verdict != rules.Passed || !strings.Contains(r.Message, "a tap of 0.1 m") {
			t.Errorf("%s: %s", r.Verdict, r.Message)
		}
	}
	if told != 1 {
		t.Errorf("%d results", told)
	}
}
