package contactor

import (
	"math"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/calc"
)

const climbing = "modes:\n  climb: {closed: [key], draw: {c: {current_A: 150}}, lasts_s: 60, every_s: 300}"

func TestContactorCarryLow(t *testing.T) {
	rule := contactorCarryLow()
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{name: "in a mode for good", want: want{verdict: rules.Passed, demand: 50, capability: 100, relative: 1e-6}},
		{name: "too much for good", change: []string{"carry_A: 100", "carry_A: 40"}, want: want{verdict: rules.Failed, level: rules.Error, fix: "carries 50 A"}},
		{
			// tau 600 s: (1 - exp(-0.1)) / (1 - exp(-0.5)) = 0.24186;
			// sqrt(50^2 + (150^2 - 50^2) 0.24186) = 85.66 A; the RMS would be 80.6 A.
			name:   "over a cycle",
			change: []string{"modes:", climbing},
			want:   want{verdict: rules.Passed, demand: 85.66, relative: 1e-4},
		},
		{
			name:   "too much over a cycle",
			change: []string{"modes:", climbing, "carry_A: 100", "carry_A: 80"},
			want:   want{verdict: rules.Failed, demand: 85.66, relative: 1e-4},
		},
		{
			name:   "follows from the short-time rating", // 120 s: it carries 80 A for good only
			change: []string{"modes:", climbing, "lasts_s: 60", "lasts_s: 120", "carry_A: 100", "carry_A: 80"},
			want:   want{verdict: rules.Failed, primary: "contactor-short-time-low/k"},
		},
		{
			// The controller draws no more than 80 A for good: the mode cannot last.
			name:   "a peak without a duration",
			change: []string{"current_A: 50", "current_A: 120"},
			want:   want{verdict: rules.NotChecked, missing: "modes.drive.lasts_s"},
		},
		{
			name:   "a peak without a duration that it carries for good",
			change: []string{"current_A: 50", "current_A: 95"},
			want:   want{verdict: rules.Passed},
		},
		{name: "no rating", change: []string{"carry_A: 100, ", ""}, want: want{verdict: rules.NotChecked, missing: "contactors.k.contact.carry_A"}},
		{
			name:   "power from a battery of unknown resistance",
			change: []string{", resistance_mOhm: {min: 10, typ: 10, max: 10}", "", "current_A: 50", "power_W: 500"},
			want:   want{verdict: rules.NotChecked, missing: "batteries.b.resistance_mOhm"},
		},
	})
}

// Short cycles give the root mean square, a step that never comes back the
// replica of IEC 60255-149.
func TestCyclic(t *testing.T) {
	got := cyclic(400, 1, 50, 5, 600)
	rms, _, err := calc.RMS([]calc.Interval{{CurrentA: 400, S: 1}, {CurrentA: 50, S: 4}})
	if err != nil || math.Abs(got-rms) > 0.005*rms {
		t.Errorf("short cycle %v, root mean square %v (%v)", got, rms, err)
	}
	got = cyclic(400, 300, 50, math.Inf(1), 600)
	share, err := calc.HeatingAfter(400, 50, 100, 600, 300)
	if err != nil || math.Abs(got-100*math.Sqrt(share)) > 1e-9*got {
		t.Errorf("single step %v, replica %v (%v)", got, 100*math.Sqrt(share), err)
	}
	if got = cyclic(20, 10, 50, 60, 600); got != 50 {
		t.Errorf("a step below the base heats like the base: %v", got)
	}
}
