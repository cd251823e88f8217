package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

// Behind branch 3424.4 A flow (TestBreakingLow). There branch takes 1 ms, the
// least that is taken for certain; main may open after 500^2 x 0.1 / 3424.4^2 =
// 2.132 ms, of which 0.75 are 1.599 ms.
func TestNotSelective(t *testing.T) {
	check(t, notSelective(), []expectation{
		{name: "grades", subject: "branch", verdict: rules.Passed, demand: 0.001, capability: 0.001599, headroom: 1.599},
		{name: "slow branch", change: edits{"fuses.branch.total_I2t_A2s": "20000"}, subject: "branch", verdict: rules.Failed, level: rules.Note},
		// 0.75 x 25 000 A2s of main against 18 700 of branch.
		{name: "declared I2t", change: edits{"fuses.branch.total_I2t_A2s": "18700", "fuses.main.melting_I2t_A2s": "25000"}, subject: "branch",
			verdict: rules.Passed, headroom: 0.75 * 25000 / 18700},
		{name: "first in the row", subject: "main"},
		{name: "bounds prove nothing", change: edits{"fuses.branch.opening": "", "fuses.branch.rated_A": "20"}, subject: "branch", verdict: rules.NotChecked,
			missing: "fuses.branch.opening.max"},
		// 20 A for 120 s bound branch to 48 000 A2s, less than the 50 000 of main but
		// more than 0.75 of them.
		{name: "bound within the factor", change: edits{"fuses.branch.opening": "", "fuses.main.melting_I2t_A2s": "50000", "fuses.main.total_I2t_A2s": "125000"},
			subject: "branch", verdict: rules.NotChecked},
	})
}

// Without curves the ratings decide, for gG before gG (1.6, IEC 60269-1) and
// within a family of vehicle fuses (2.0, common practice).
func TestSelectivityByRating(t *testing.T) {
	pair := func(class, branch string) edits {
		return edits{"fuses.main.class": class, "fuses.main.opening": "", "fuses.main.rated_A": "100",
			"fuses.branch.class": class, "fuses.branch.opening": "", "fuses.branch.rated_A": branch, "batteries.pack.resistance_mOhm": ""}
	}
	check(t, notSelective(), []expectation{
		{name: "gG 100 before 50", change: pair(`"gG"`, "50"), subject: "branch", verdict: rules.Passed, demand: 80, capability: 100},
		{name: "gG 100 before 80", change: pair(`"gG"`, "80"), subject: "branch", verdict: rules.Failed, demand: 128},
		{name: "bolt-down 100 before 50", change: pair(`"bolt-down"`, "50"), subject: "branch", verdict: rules.Passed, demand: 100},
		{name: "bolt-down 100 before 60", change: pair(`"bolt-down"`, "60"), subject: "branch", verdict: rules.Failed, demand: 120},
		{name: "ul", change: pair(`"ul"`, "10"), subject: "branch", verdict: rules.NotChecked},
	})
}

// On the road, a fuse that takes critical loads with it is a warning.
func TestSelectivityOfVitalFuses(t *testing.T) {
	vital := edits{"vehicle.use": `"road-light"`, "loads.lamp.critical": "true", "fuses.branch.total_I2t_A2s": "20000"}
	check(t, notSelective(), []expectation{
		{name: "road", change: vital, subject: "branch", verdict: rules.Failed, level: rules.Warning},
	})
}
