package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A second feed over a diode puts two fuses in parallel: neither alone breaks
// the loop, but together they bound the current. How a short circuit divides
// between them is not computed, and that is said.
func TestFeedsInParallel(t *testing.T) {
	diode := ruletest.Edits(
		"fuses.second", `{"class": "ul", "rated_A": 5, "rated_V_dc": 80, "breaking_A_dc": 10000}`,
		"diodes.feed", `{"continuous_A": 6}`,
		"wires.w_second", `{"from": "main.b", "to": "second.a", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
		"wires.w_diode", `{"from": "second.b", "to": "feed.anode", "size": "1.5 mm2", "length_m": 0.5, "insulation": {"max_C": 90}}`,
		"wires.w_feed", `{"from": "feed.cathode", "to": "lamp.pos", "size": "1.5 mm2", "length_m": 0.5, "insulation": {"max_C": 90}}`,
		"wires.w_lamp.size", `"1.5 mm2"`,
	)
	t.Run("overload", func(t *testing.T) {
		fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
			{Name: "fed by both", Edits: diode, Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.Passed, Demand: 15}},
			{Name: "before the diode by one", Edits: diode, Subject: "w_diode", Want: ruletest.Want{Verdict: rules.Passed, Demand: 5}},
		})
	})
	t.Run("damage", func(t *testing.T) {
		fixture.Play(t, slowerThanDamage(), []ruletest.Scene{
			{Name: "fed by both", Edits: diode, Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.NotChecked, Message: "branch and second in parallel", Missing: "one fuse in place of branch and second in parallel"}},
		})
	})
	t.Run("short circuit", func(t *testing.T) {
		fixture.Play(t, withstandShort(), []ruletest.Scene{
			{Name: "fed by both", Edits: diode, Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.NotChecked, Message: "branch and second in parallel", Missing: "one fuse in place of branch and second in parallel"}},
		})
	})
}

// Behind a converter that does not isolate, the returns are connected to the
// pack's negative pole. They carry what their own feed lets through, not the main fuse's
// 100 A.
func TestSharedNegative(t *testing.T) {
	with := func(more []rules.Edit) []rules.Edit {
		return append(ruletest.Edits("converters.converter.isolated", "false"), more...)
	}
	fixture.Play(t, aboveAmpacity(), []ruletest.Scene{
		{Name: "the return of the output", Edits: with(nil), Subject: "w_pilot_neg", Want: ruletest.Want{Verdict: rules.Passed, Demand: 5}},
		{Name: "a return too thin for its own fuse", Edits: with(ruletest.Edits("fuses.house.rated_A", `11`, "wires.w_pilot_neg.size", `"0.35 mm2"`)),
			Subject: "w_pilot_neg", Want: ruletest.Want{Verdict: rules.Failed, Demand: 11}},
		{Name: "a return too thin for the limit", Edits: with(ruletest.Edits("fuses.house.rated_A", `30`, "wires.w_pilot_neg.size", `"0.35 mm2"`)),
			Subject: "w_pilot_neg", Want: ruletest.Want{Verdict: rules.Failed, Demand: 12}},
		{Name: "the return of the input", Edits: with(nil), Subject: "w_in_neg", Want: ruletest.Want{Verdict: rules.Passed, Demand: 10}},
		{Name: "a return of the input too thin for its fuse", Edits: with(ruletest.Edits("fuses.branch.rated_A", `15`, "wires.w_in_neg.size", `"0.35 mm2"`)),
			Subject: "w_in_neg", Want: ruletest.Want{Verdict: rules.Failed, Demand: 15}},
	})
}
