package contactor

import (
	"testing"

	"example.org/headroom/rules"
)

const climbing = "modes:\n  climb: {closed: [key], draw: {c: {current_A: 150}}, lasts_s: 60, every_s: 300}"

func TestContactorCarryLow(t *testing.T) {
	rule := contactorCarryLow()
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{name: "in a mode continuously", want: want{verdict: rules.Passed, demand: 50, capability: 100, relative: 1e-6}},
		{name: "too much continuously", change: []string{"carry_A: 100", "carry_A: 40"}, want: want{verdict: rules.Failed, level: rules.Error, fix: "carries 50 A"}},
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
			name:   "follows from the short-time rating", // 120 s: it carries 80 A continuously only
			change: []string{"modes:", climbing, "lasts_s: 60", "lasts_s: 120", "carry_A: 100", "carry_A: 80"},
			want:   want{verdict: rules.Failed, primary: "contactor-short-time-low/k"},
		},
		{
			// The declared cycle, whatever lasts_s says: 150 A for 60 s and 50 A for 240 s.
			name:   "over the declared cycle",
			change: []string{"modes:", "cycle: [{mode: climb, for_s: 60}, {mode: drive, for_s: 240}]\n" + climbing, "every_s: 300", "every_s: 70"},
			want:   want{verdict: rules.Passed, demand: 85.66, relative: 1e-4, message: "declared cycle"},
		},
		{
			// The controller draws no more than 80 A continuously: the mode cannot last.
			name:   "a peak without a duration",
			change: []string{"current_A: 50", "current_A: 120"},
			want:   want{verdict: rules.NotChecked, missing: "modes.drive.lasts_s"},
		},
		{
			name:   "a peak without a duration that it carries continuously",
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
