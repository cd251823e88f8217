package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// A second feed over a diode puts two fuses side by side: neither alone breaks
// the loop, but together they bound the current. How a short circuit divides
// between them is not reckoned, and that is said.
func TestFeedsSideBySide(t *testing.T) {
	diode := edits{
		"fuses.second":      `{"class": "ul", "rated_A": 5, "rated_V_dc": 80, "breaking_A_dc": 10000}`,
		"diodes.feed":       `{"continuous_A": 6}`,
		"wires.w_second":    `{"from": "main.b", "to": "second.a", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 90}}`,
		"wires.w_diode":     `{"from": "second.b", "to": "feed.anode", "size": "1.5 mm2", "length_m": 0.5, "insulation": {"max_C": 90}}`,
		"wires.w_feed":      `{"from": "feed.cathode", "to": "lamp.pos", "size": "1.5 mm2", "length_m": 0.5, "insulation": {"max_C": 90}}`,
		"wires.w_lamp.size": `"1.5 mm2"`,
	}
	t.Run("overload", func(t *testing.T) {
		check(t, aboveAmpacity(), []expectation{
			{name: "fed by both", change: diode, subject: "w_lamp", verdict: rules.Passed, demand: 15},
			{name: "before the diode by one", change: diode, subject: "w_diode", verdict: rules.Passed, demand: 5},
		})
	})
	t.Run("damage", func(t *testing.T) {
		check(t, slowerThanDamage(), []expectation{
			{name: "fed by both", change: diode, subject: "w_lamp", verdict: rules.NotChecked, says: "branch and second side by side"},
		})
	})
	t.Run("short circuit", func(t *testing.T) {
		check(t, withstandShort(), []expectation{
			{name: "fed by both", change: diode, subject: "w_lamp", verdict: rules.NotChecked, says: "branch and second side by side"},
		})
	})
}

// Behind a converter that does not isolate, the returns hang on the pack's
// negative pole. They carry what their own feed lets pass, not the main fuse's
// 100 A.
func TestSharedNegative(t *testing.T) {
	with := func(more edits) edits {
		out := edits{"converters.converter.isolated": `false`}
		for path, value := range more {
			out[path] = value
		}
		return out
	}
	check(t, aboveAmpacity(), []expectation{
		{name: "the return of the output", change: with(nil), subject: "w_pilot_neg", verdict: rules.Passed, demand: 5},
		{name: "a return too thin for its own fuse", change: with(edits{"fuses.house.rated_A": `11`, "wires.w_pilot_neg.size": `"0.35 mm2"`}),
			subject: "w_pilot_neg", verdict: rules.Failed, demand: 11},
		{name: "a return too thin for the limit", change: with(edits{"fuses.house.rated_A": `30`, "wires.w_pilot_neg.size": `"0.35 mm2"`}),
			subject: "w_pilot_neg", verdict: rules.Failed, demand: 12},
		{name: "the return of the input", change: with(nil), subject: "w_in_neg", verdict: rules.Passed, demand: 10},
		{name: "a return of the input too thin for its fuse", change: with(edits{"fuses.branch.rated_A": `15`, "wires.w_in_neg.size": `"0.35 mm2"`}),
			subject: "w_in_neg", verdict: rules.Failed, demand: 15},
	})
}
