package contactor

import (
	"testing"

	"example.org/headroom/rules"
)

func TestContactorShortTimeLow(t *testing.T) {
	rule := contactorShortTimeLow()
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{
			name: "the controller's peak is within its rating", // 150 A for 30 s, of 200 A for 60 s
			want: want{verdict: rules.Passed, demand: 150, capability: 200, relative: 1e-9},
		},
		{
			name:   "above the rating for its time",
			change: []string{"short_time: [{A: 200, s: 60}]", "short_time: [{A: 120, s: 60}, {A: 140, s: 30}]"},
			want:   want{verdict: rules.Failed, level: rules.Error, demand: 150, capability: 140, relative: 1e-9, fix: "150 A for 30 s"},
		},
		{
			name:   "what the controller feeds back, whether or not a mode says so",
			change: []string{"battery_peak_A: 150", "battery_peak_A: 150, regen_A: 220", "short_time: [{A: 200, s: 60}]", "short_time: [{A: 200, s: 30}]"},
			want:   want{verdict: rules.Failed, level: rules.Error, demand: 220, capability: 200, relative: 1e-9, message: "the regeneration of"},
		},
		{
			name:   "longer than any rating: what it carries continuously",
			change: []string{"modes:", climbing, "lasts_s: 60", "lasts_s: 90"},
			want:   want{verdict: rules.Failed, demand: 150, capability: 100, relative: 1e-6},
		},
		{
			// Two steps in a row: 150 A for 45 s and again 45 s, each within 200 A for 60 s,
			// are 90 s together, for which it is rated no more than continuously.
			name:   "steps of the cycle that follow each other",
			change: []string{"modes:", "cycle: [{mode: climb, for_s: 45}, {mode: climb, for_s: 45}, {mode: drive, for_s: 900}]\n" + climbing},
			want:   want{verdict: rules.Failed, demand: 150, capability: 100, relative: 1e-6, message: "follow each other"},
		},
		{
			name:   "steps with a rest between",
			change: []string{"modes:", "cycle: [{mode: climb, for_s: 45}, {mode: drive, for_s: 900}, {mode: climb, for_s: 45}, {mode: drive, for_s: 900}]\n" + climbing},
			want:   want{verdict: rules.Passed, demand: 150, capability: 200, relative: 1e-6},
		},
		{
			name:   "no rating is not made up",
			change: []string{"short_time: [{A: 200, s: 60}], ", ""},
			want:   want{verdict: rules.NotChecked, missing: "contactors.k.contact.short_time"},
		},
		{
			name:   "nor a point at a shorter time",
			change: []string{"short_time: [{A: 200, s: 60}]", "short_time: [{A: 140, s: 60}]"},
			want:   want{verdict: rules.NotChecked, missing: "contactors.k.contact.short_time"},
		},
		{
			name:   "a peak of unknown duration",
			change: []string{"peak_s: 30, ", ""},
			want:   want{verdict: rules.NotChecked, missing: "controllers.c.peak_s"},
		},
		{
			name:   "no peak above what it carries continuously",
			change: []string{"carry_A: 100", "carry_A: 160", "short_time: [{A: 200, s: 60}], ", ""},
			want:   want{verdict: rules.Passed, demand: 150, capability: 160, relative: 1e-9},
		},
	})
}
