package measurement

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

// Somebody who does what a fix says has no finding of the family after it that was
// not there before.
func TestFixesHold(t *testing.T) {
	const file = "testdata/fixture.yaml"
	ruletest.Follow(t, Rules(), []ruletest.Advice{
		{Name: "a shunt, and the scale of its meter", File: file, Mistake: ruletest.Edits("shunts.s.rated_A", "120", "meters.amps.full_scale_A", "120"),
			Rule: "shunt-overloaded", Subject: "s", Says: []string{"use a shunt of at least 153 A with the same 50 mV at its rating, and set or replace the scale of amps to match"},
			Done: ruletest.Edits("shunts.s.rated_A", "153", "meters.amps.full_scale_A", "153")},
		// 67 % of it would do for the 100 A of the drive, but the climb takes 200 A.
		{Name: "a shunt whose scale reaches the peak", File: file, Mistake: ruletest.Edits("shunts.s.rated_A", "120", "meters.amps.full_scale_A", "120",
			"modes.climb", `{"draw": {"drive": {"current_A": 200}}, "lasts_s": 10, "every_s": 1000}`),
			Rule: "shunt-overloaded", Subject: "s", Says: []string{"use a shunt of at least 201 A with the same 50 mV"},
			Done: ruletest.Edits("shunts.s.rated_A", "201", "meters.amps.full_scale_A", "201")},
		{Name: "a meter for its shunt", File: file, Mistake: ruletest.Edits("meters.amps.drop_mV", "75"),
			Rule: "shunt-meter-mismatch", Subject: "amps", Says: []string{"use a meter of 300 A at 50 mV, as the shunt, or any other of 6 A per mV"},
			Done: ruletest.Edits("meters.amps.drop_mV", "50")},
		{Name: "a scale and its shunt", File: file, Mistake: ruletest.Edits("modes.climb", `{"draw": {"drive": {"current_A": 350}}, "lasts_s": 5, "every_s": 5000}`),
			Rule: "meter-range-low", Subject: "amps", Says: []string{"for at least 351 A"},
			Done: ruletest.Edits("shunts.s.rated_A", "351", "meters.amps.full_scale_A", "351")},
		{Name: "a range that can be read", File: file, Mistake: ruletest.Edits("modes.drive.draw.drive.current_A", "10"),
			Rule: "meter-unreadable", Subject: "amps", Says: []string{"use a meter and a shunt for 40 to 100 A, with the same millivolts"},
			Done: ruletest.Edits("shunts.s.rated_A", "60", "meters.amps.full_scale_A", "60")},
	})
}
