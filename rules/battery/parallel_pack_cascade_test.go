package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Without the other a pack carries twice what it did.
func TestParallelPackCascade(t *testing.T) {
	packs := func(draw string, more ...string) []rules.Edit {
		return second(ruletest.Edits(append([]string{"modes", `{"roll": {"draw": {"drive": {"current_A": ` + draw + `}}}}`,
			"controllers.drive.battery_continuous_A", "200", "controllers.drive.battery_peak_A", "", "batteries.pack.resistance_mOhm", "10", "batteries.second.resistance_mOhm", "10"}, more...)...)...)
	}
	const cut = `{"trip_A": 110, "trip_s": 1, "by": "contacts"}`
	const tells = `{"trip_A": 400, "trip_s": 1, "by": "contacts", "limits_drive": true}`
	fixture.Play(t, parallelPackCascade(), []ruletest.Scene{
		{Name: "one carries all", Subject: "second", Edits: packs("90"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 90, Capability: 100, Relative: 0.02}},
		{Name: "one is overloaded, and nothing says so", Subject: "second", Edits: packs("150"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 150, Capability: 100, Relative: 0.02, Message: "nothing says so", Primary: "parallel-pack-cascade/pack"}},
		{Name: "it cuts itself off too", Subject: "second", Edits: packs("150", "batteries.second.cutoff", cut, "vehicle.use", `"road"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 150, Capability: 100, Relative: 0.02, Message: "the drive is dead", Primary: "parallel-pack-cascade/pack"}},
		{Name: "it cuts itself off in a mode of some seconds", Subject: "second",
			Edits: packs("150", "batteries.second.cutoff", cut, "vehicle.use", `"road"`, "modes.roll.lasts_s", "5", "modes.roll.every_s", "100"),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 150, Capability: 110, Relative: 0.02}},
		{Name: "off the road", Subject: "second", Edits: packs("150", "batteries.second.cutoff", cut, "vehicle.use", `"off-road"`), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Primary: "parallel-pack-cascade/pack"}},
		{Name: "the drive is told", Subject: "second", Edits: packs("150", "batteries.pack.cutoff", tells), Want: ruletest.Want{Verdict: rules.AsDeclared}},
		{Name: "both alike: one weakness", Subject: "second", Edits: packs("150", "batteries.pack.continuous_A", "100"), Want: ruletest.Want{Verdict: rules.Failed, Primary: "parallel-pack-cascade/pack"}},
		{Name: "what is too much already", Subject: "second", Edits: packs("250", "batteries.second.continuous_A", "90", "controllers.drive.battery_continuous_A", "300"), Want: ruletest.Want{Verdict: rules.Failed, Primary: "battery-overloaded/second"}},
		{Name: "continuous current not given", Subject: "second", Edits: packs("90", "batteries.second.continuous_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.second.continuous_A"}},
		{Name: "a pack by itself", Subject: "pack"},
	})
}
