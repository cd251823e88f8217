package capacity

import (
	"math"
	"testing"

	"example.org/headroom/schema"
)

// Between two ratings the current is log-log: half-way between 10 s and 40 s
// lies 20 s, half-way between 400 A and 200 A lies 400 / sqrt(2) = 282.8 A.
func TestShortTimeBetweenRatings(t *testing.T) {
	contact := &schema.Contact{CarryA: schema.Some(100), ShortTime: []schema.ShortTime{{A: 400, S: 10}, {A: 200, S: 40}}}
	for _, tc := range []struct {
		s, a float64
		sure bool
	}{{20, 400 / math.Sqrt2, true}, {10, 400, true}, {40, 200, true}, {5, 400, false}, {41, 100, true}} {
		if a, sure := ShortTimeA(contact, tc.s); math.Abs(a-tc.a) > 1e-9*tc.a || sure != tc.sure {
			t.Errorf("%v s: %v A %v, want %v A %v", tc.s, a, sure, tc.a, tc.sure)
		}
	}
}
