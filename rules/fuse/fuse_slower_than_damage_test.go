package fuse

import (
	"testing"

	"example.org/headroom/rules"
)

func TestSlowerThanDamage(t *testing.T) {
	slow := `[{"current_A": 135, "s": 1800}, {"current_A": 200, "s": 1500}, {"current_A": 350, "s": 900}, {"current_A": 500, "s": 200}]`
	check(t, slowerThanDamage(), []expectation{
		{name: "curves apart", subject: "w_drive", verdict: rules.Passed},
		// Rated alike and fast in a dead short, but slow between: only the curve shows it.
		{name: "curves cross", change: edits{"fuses.main.opening.max": slow}, subject: "w_drive", verdict: rules.Failed, says: "takes up to"},
		{name: "the rating does not show it", change: edits{"fuses.main.opening.max": slow}, subject: "w_lamp", verdict: rules.Passed},
		{name: "limited source", subject: "w_pilot", verdict: rules.Passed, demand: 12},
		{name: "curve unknown", change: edits{"fuses.main.class": `"other"`, "fuses.main.opening": ""}, subject: "w_drive", verdict: rules.NotChecked,
			missing: "fuses.main.opening"},
		{name: "resistance unknown", change: edits{"batteries.pack.resistance_mOhm": ""}, subject: "w_drive", verdict: rules.NotChecked,
			missing: "batteries.pack.resistance_mOhm"},
	})
}

// A gG link of I_n = 125 A on 35 mm2 takes up to two hours at 1.6 I_n by the
// standard's test, longer than any cable bears 200 A: since I_n <= I_z is what
// the standard asks, that is no finding.
func TestDamageKnowsGG(t *testing.T) {
	check(t, slowerThanDamage(), []expectation{{
		name: "gG at its rating", change: edits{"fuses.main.class": `"gG"`, "fuses.main.rated_A": "125", "fuses.main.opening": ""},
		subject: "w_drive", verdict: rules.Passed,
	}})
}

// Where the controller keeps overload away, the fuse only has to be faster than
// the damage in a short circuit: 135 A for half an hour never flow.
func TestDamageLeavesOverloadToTheLoad(t *testing.T) {
	thin := edits{"wires.w_drive.size": `"10 mm2"`}
	left := edits{"wires.w_drive.size": `"10 mm2"`, "fuses.main.overload_protection_by": `"drive"`}
	check(t, slowerThanDamage(), []expectation{
		{name: "overload is the fuse's", change: thin, subject: "w_drive", verdict: rules.Failed},
		{name: "overload is the controller's", change: left, subject: "w_drive", verdict: rules.Passed},
	})
}

// At the current where the two run closest the working gives both times, and
// the time that the conductor bears follows from k2S2 by hand up to 5 s.
func TestDamageWorking(t *testing.T) {
	slow := `[{"current_A": 135, "s": 1800}, {"current_A": 200, "s": 15}, {"current_A": 350, "s": 2}, {"current_A": 6000, "s": 0.9}]`
	r := bench(t, slowerThanDamage(), edits{"fuses.main.opening.max": slow})["w_drive"]
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
