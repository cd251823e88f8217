package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Behind branch 3424.4 A flow (TestBreakingLow). There branch takes 1 ms, the
// least that is taken for certain; main may open after 500^2 x 0.1 / 3424.4^2 =
// 2.132 ms, of which 0.75 are 1.599 ms.
func TestNotSelective(t *testing.T) {
	fixture.Play(t, notSelective(), []ruletest.Scene{
		{Name: "grades", Subject: "branch", Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.001, Capability: 0.001599, Headroom: 1.599}},
		{Name: "slow branch", Edits: ruletest.Edits("fuses.branch.total_I2t_A2s", "20000"), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		// 0.75 x 25 000 A2s of main against 18 700 of branch.
		{Name: "declared I2t", Edits: ruletest.Edits("fuses.branch.total_I2t_A2s", "18700", "fuses.main.melting_I2t_A2s", "25000"), Subject: "branch",
			Want: ruletest.Want{Verdict: rules.Passed, Headroom: 0.75 * 25000 / 18700}},
		{Name: "first in the row", Subject: "main"},
		{Name: "bounds prove nothing", Edits: ruletest.Edits("fuses.branch.opening", "", "fuses.branch.rated_A", "20"), Subject: "branch", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "fuses.branch.opening.max"}},
		// 20 A for 120 s bound branch to 48 000 A2s, less than the 50 000 of main but
		// more than 0.75 of them.
		{Name: "bound within the factor", Edits: ruletest.Edits("fuses.branch.opening", "", "fuses.main.melting_I2t_A2s", "50000", "fuses.main.total_I2t_A2s", "125000"),
			Subject: "branch", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.branch.opening.max"}},
	})
}

// Without curves the ratings decide, for gG before gG (1.6, IEC 60269-1) and
// within a family of vehicle fuses (2.0, common practice).
func TestSelectivityByRating(t *testing.T) {
	pair := func(class, branch string) []rules.Edit {
		return ruletest.Edits("fuses.main.class", class, "fuses.main.opening", "", "fuses.main.rated_A", "100",
			"fuses.branch.class", class, "fuses.branch.opening", "", "fuses.branch.rated_A", branch, "batteries.pack.resistance_mOhm", "")
	}
	fixture.Play(t, notSelective(), []ruletest.Scene{
		{Name: "gG 100 before 50", Edits: pair(`"gG"`, "50"), Subject: "branch", Want: ruletest.Want{Verdict: rules.Passed, Demand: 80, Capability: 100}},
		{Name: "gG 100 before 80", Edits: pair(`"gG"`, "80"), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Demand: 128}},
		{Name: "bolt-down 100 before 50", Edits: pair(`"bolt-down"`, "50"), Subject: "branch", Want: ruletest.Want{Verdict: rules.Passed, Demand: 100}},
		{Name: "bolt-down 100 before 60", Edits: pair(`"bolt-down"`, "60"), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Demand: 120}},
		{Name: "ul", Edits: pair(`"ul"`, "10"), Subject: "branch", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.branch.opening.max"}},
	})
}

// On the road, a fuse that takes critical functions with it which the branch does not
// feed is a warning. A short circuit in the branch darkens its own lamps anyway.
func TestSelectivityOfVitalFuses(t *testing.T) {
	beside := func(more ...string) []rules.Edit {
		return ruletest.Edits(append([]string{"vehicle.use", `"road-light"`, "loads.lamp.critical", "true", "loads.lamp.function", `"brake"`, "fuses.branch.total_I2t_A2s", "20000",
			"wires.w_other", `{"from": "main.b", "to": "other.pos", "size": "2.5 mm2", "length_m": 2}`, "wires.w_other_neg", `{"from": "other.neg", "to": "drive.neg", "size": "2.5 mm2", "length_m": 2}`,
			"loads.other", `{"kind": "resistive", "power_W": 20, "at_V": 48, "min_V": 30, "max_V": 60}`}, more...)...)
	}
	fixture.Play(t, notSelective(), []ruletest.Scene{
		{Name: "its own lamp alone", Edits: beside(), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		{Name: "a headlamp beside it", Edits: beside("loads.other.critical", "true", "loads.other.function", `"headlamp"`), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "another brake lamp beside it", Edits: beside("loads.other.critical", "true", "loads.other.function", `"brake"`), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		{Name: "a critical load of no stated function", Edits: beside("loads.other.critical", "true"), Subject: "branch", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
	})
}
