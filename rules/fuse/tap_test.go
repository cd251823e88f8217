package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// tapWire is a wire of the tests below.
func tapWire(from, to, size, length, more string) string {
	return `{"from": "` + from + `", "to": "` + to + `", "size": "` + size + `", "length_m": ` + length + more +
		`, "insulation": {"max_C": 90, "rated_V": 600, "material": "XLPE"}}`
}

// A thin wire from behind the main fuse to a resistor, over a stud on the way.
func overStud(first, second string) edits {
	return edits{
		"fuses.main.opening.max": slowMain,
		"studs.joint":            `{}`,
		"resistors.bleed":        `{"role": "bleed", "resistance_Ohm": 1000}`,
		"wires.t1":               first,
		"wires.t2":               second,
		"wires.t3":               tapWire("bleed.b", "drive.neg", "2.5 mm2", "0.1", ""),
	}
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
	beside := overStud(thin("3", ""), last("0.1", ""))
	beside["studs.other"] = `{}`
	beside["wires.t4"] = tapWire("joint.stud", "other.stud", "35 mm2", "0.05", "")
	beside["resistors.more"] = `{"role": "bleed", "resistance_Ohm": 1000}`
	beside["wires.t5"] = tapWire("other.stud", "more.a", "35 mm2", "0.05", "")
	beside["wires.t6"] = tapWire("more.b", "drive.neg", "35 mm2", "0.1", "")
	check(t, aboveAmpacity(), []expectation{
		{name: "from the thick wire", change: overStud(thick, last("0.17", "")), subject: "t2", verdict: rules.Passed, says: "tap of 0.17 m"},
		{name: "two bare pieces together short", change: overStud(thin("0.08", ""), last("0.09", "")), subject: "t2", verdict: rules.Passed, says: "tap of 0.17 m"},
		{name: "two bare pieces together long", change: overStud(thin("0.1", ""), last("0.1", "")), subject: "t2", verdict: rules.Failed},
		{name: "sheathed, its end bare", change: overStud(thin("0.8", sheath), last("0.17", "")), subject: "t2", verdict: rules.Passed, says: "tap of 0.97 m"},
		{name: "sheathed, its end bare for too long", change: overStud(thin("0.8", sheath), last("0.19", "")), subject: "t2", verdict: rules.Failed},
		{name: "sheathed, together long", change: overStud(thin("0.9", sheath), last("0.15", sheath)), subject: "t2", verdict: rules.Failed},
		{name: "a thick wire beside it", change: beside, subject: "t2", verdict: rules.Failed},
	})
}

// A resistor past a fuse protects a wire that carries the V/R that it lets
// through, IEC 60364-4-43, 436: 56 V over 5 Ohm are 11.2 A, more than a
// pre-charge may pass by the policy, but less than a wire of 2.5 mm2 carries.
func TestResistorPastTheFuse(t *testing.T) {
	past := func(ohm, size string) edits {
		return edits{
			"resistors.soft": `{"role": "precharge", "resistance_Ohm": ` + ohm + `}`,
			"wires.p1":       tapWire("drive.pos", "soft.a", "35 mm2", "0.1", ""),
			"wires.p2":       tapWire("soft.b", "branch.b", size, "0.5", ""),
		}
	}
	check(t, aboveAmpacity(), []expectation{
		{name: "carries V/R", change: past("5", "2.5 mm2"), subject: "w_lamp", verdict: rules.Passed, demand: 10},
		{name: "the resistor's own lead", change: past("5", "2.5 mm2"), subject: "p2", verdict: rules.Passed},
		{name: "does not carry it", change: past("1", "2.5 mm2"), subject: "w_lamp", verdict: rules.Failed, demand: 100},
	})
}
