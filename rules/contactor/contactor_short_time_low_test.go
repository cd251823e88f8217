package contactor

import (
	"math"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
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
			name:   "longer than any rating: what it carries for good",
			change: []string{"modes:", climbing, "lasts_s: 60", "lasts_s: 90"},
			want:   want{verdict: rules.Failed, demand: 150, capability: 100, relative: 1e-6},
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
			name:   "no peak above what it carries for good",
			change: []string{"carry_A: 100", "carry_A: 160", "short_time: [{A: 200, s: 60}], ", ""},
			want:   want{verdict: rules.Passed, demand: 150, capability: 160, relative: 1e-9},
		},
	})
}

// Between two ratings the current is log-log: half-way between 10 s and 40 s
// lies 20 s, half-way between 400 A and 200 A lies 400 / sqrt(2) = 282.8 A.
func TestShortTimeBetweenRatings(t *testing.T) {
	contact := &schema.Contact{CarryA: schema.Some(100), ShortTime: []schema.ShortTime{{A: 400, S: 10}, {A: 200, S: 40}}}
	for _, tc := range []struct {
		s, a float64
		sure bool
	}{{20, 400 / math.Sqrt2, true}, {10, 400, true}, {40, 200, true}, {5, 400, false}, {41, 100, true}} {
		if a, sure := shortTimeA(contact, tc.s); math.Abs(a-tc.a) > 1e-9*tc.a || sure != tc.sure {
			t.Errorf("%v s: %v A %v, want %v A %v", tc.s, a, sure, tc.a, tc.sure)
		}
	}
}
