package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestSlowerThanDamage(t *testing.T) {
	slow := `[{"current_A": 135, "s": 1800}, {"current_A": 200, "s": 1500}, {"current_A": 350, "s": 900}, {"current_A": 500, "s": 200}]`
	fixture.Play(t, slowerThanDamage(), []ruletest.Scene{
		{Name: "curves apart", Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed}},
		// Rated alike and fast in a dead short, but slow between: only the curve shows it.
		{Name: "curves cross", Edits: ruletest.Edits("fuses.main.opening.max", slow), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Failed, Message: "takes up to", Primary: "fuse-slower-than-damage/w_drive_neg"}},
		{Name: "the rating does not show it", Edits: ruletest.Edits("fuses.main.opening.max", slow), Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "limited source", Subject: "w_pilot", Want: ruletest.Want{Verdict: rules.Passed, Demand: 12}},
		{Name: "curve unknown", Edits: ruletest.Edits("fuses.main.class", `"other"`, "fuses.main.opening", ""), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "fuses.main.opening"}},
		{Name: "resistance unknown", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", ""), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "batteries.pack.resistance_mOhm"}},
	})
}

// A gG link of I_n = 125 A on 35 mm2 takes up to two hours at 1.6 I_n by the
// standard's test, longer than any cable withstands 200 A: since I_n <= I_z is what
// the standard asks, that is no finding.
func TestDamageKnowsGG(t *testing.T) {
	fixture.Play(t, slowerThanDamage(), []ruletest.Scene{{
		Name: "gG at its rating", Edits: ruletest.Edits("fuses.main.class", `"gG"`, "fuses.main.rated_A", "125", "fuses.main.opening", ""),
		Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed},
	}})
}

// Where the controller keeps overload away, the fuse only has to be faster than
// the damage in a short circuit: 135 A for half an hour never flow.
func TestDamageLeavesOverloadToTheLoad(t *testing.T) {
	thin := ruletest.Edits("wires.w_drive.size", `"10 mm2"`)
	left := ruletest.Edits("wires.w_drive.size", `"10 mm2"`, "fuses.main.overload_protection_by", `"drive"`)
	fixture.Play(t, slowerThanDamage(), []ruletest.Scene{
		{Name: "overload is the fuse's", Edits: thin, Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Failed, Primary: "fuse-above-ampacity/w_drive"}},
		{Name: "overload is the controller's", Edits: left, Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed}},
	})
}

// At the current where the two run closest the working gives both times, and
// the time that the conductor withstands follows from k2S2 by hand up to 5 s.
func TestDamageWorking(t *testing.T) {
	slow := `[{"current_A": 135, "s": 1800}, {"current_A": 200, "s": 15}, {"current_A": 350, "s": 2}, {"current_A": 6000, "s": 0.9}]`
	r := fixture.On(t, slowerThanDamage(), ruletest.Edits("fuses.main.opening.max", slow)...)["w_drive"]
	if !r.IsFinding() {
		t.Fatalf("%s: %s", r.Verdict, r.Message)
	}
	step := map[string]float64{}
	for _, s := range r.Working {
		step[s.Symbol] = s.Value
	}
	if want := step["k2S2"] / (step["I"] * step["I"]); !within(step["t_bear"], want, 1e-6) || !within(r.Capability.Value, want, 1e-6) {
		t.Errorf("t_bear = %v, capability %v, want %v", step["t_bear"], r.Capability.Value, want)
	}
	if !within(step["t_open"], r.Demand.Value, 1e-6) {
		t.Errorf("t_open = %v, demand %v", step["t_open"], r.Demand.Value)
	}
}

func within(got, want, relative float64) bool {
	return got >= want*(1-relative) && got <= want*(1+relative)
}
