package controller

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

// Somebody who does what a fix says has no finding of the family after it that was
// not there before.
func TestFixesHold(t *testing.T) {
	const file = "testdata/fixture.yaml"
	low := ruletest.Edits("controllers.drive.min_V", "42")
	ruletest.Follow(t, Rules(), []ruletest.Advice{
		// At rest 40 V would do. In climb 160 A take 3.2 V of them, over the 20 mOhm of a
		// cold pack, and a little in the leads.
		{Name: "a lowest voltage that holds under load", File: file, Mistake: low,
			Rule: "controller-voltage-low", Subject: "drive", Says: []string{"set the lowest voltage of drive to at most 36.7 V, which is left in mode climb with the pack empty and cold", "or raise the cut-off of pack to at least 45.3 V"},
			Done: ruletest.Edits("controllers.drive.min_V", "36.7")},
		{Name: "or a cut-off that does", File: file, Mistake: low,
			Rule: "controller-voltage-low", Subject: "drive", Done: ruletest.Edits("batteries.pack.min_V", "45.3")},
		{Name: "no cut-off above the nominal voltage", File: file, Mistake: ruletest.Edits("controllers.drive.min_V", "46"),
			Rule: "controller-voltage-low", Subject: "drive", Says: []string{"its cut-off cannot be raised that far"}, Not: "or raise",
			Done: ruletest.Edits("controllers.drive.min_V", "36.7")},
		{Name: "less current under load", File: file, Mistake: ruletest.Edits("controllers.drive.min_V", "38"),
			Rule: "controller-undervoltage", Subject: "drive", Says: []string{"draw at most about 99 A in mode climb", "or set the lowest voltage of drive to at most 36.7 V"},
			Done: ruletest.Edits("modes.climb.draw.drive.current_A", "99")},
		{Name: "or less resistance", File: file, Mistake: ruletest.Edits("controllers.drive.min_V", "38"),
			Rule: "controller-undervoltage", Subject: "drive", Says: []string{"mOhm"},
			Done: ruletest.Edits("batteries.pack.resistance_mOhm", `{"min": 6, "typ": 6, "max": 12}`)},
		{Name: "a window for the pack, full and empty", File: file, Mistake: ruletest.Edits("controllers.drive.max_V", "50"),
			Rule: "controller-voltage-high", Subject: "drive", Says: []string{"use a controller rated for at least 55 V that works down to at most 36.7 V"},
			Done: ruletest.Edits("controllers.drive.max_V", "55", "controllers.drive.min_V", "36.7")},
		{Name: "a stronger controller", File: file, Mistake: ruletest.Edits("controllers.drive.battery_peak_A", "150", "modes.climb.draw.drive.current_A", "155"),
			Rule: "controller-current-high", Subject: "drive", Says: []string{"use a controller with a battery-side current of at least 155 A for that time, or draw at most 150 A in mode climb"},
			Done: ruletest.Edits("modes.climb.draw.drive.current_A", "150")},
	})
}
