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
