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

// Of three ratings the nearest two count, of two for the same time the greater, and never
// less than what the contact carries continuously; of those for breaking the greatest that
// covers the voltage.
func TestTheBetterOfSeveralRatings(t *testing.T) {
	three := []schema.ShortTime{{A: 1000, S: 1}, {A: 400, S: 10}, {A: 200, S: 40}, {A: 250, S: 40}}
	for _, tc := range []struct {
		carry, s, a float64
	}{
		{100, 20, 400 * math.Sqrt(250.0/400)}, // half-way between 10 s and 40 s
		{100, 40, 250},
		{500, 40, 500},
		{1200, 0.5, 1200},
	} {
		contact := &schema.Contact{CarryA: schema.Some(tc.carry), ShortTime: three}
		if a, _ := ShortTimeA(contact, tc.s); math.Abs(a-tc.a) > 1e-9*tc.a {
			t.Errorf("%v A continuously, %v s: %v A, want %v A", tc.carry, tc.s, a, tc.a)
		}
	}
	ratings := []schema.BreakRating{{V: 48, A: 500}, {V: 96, A: 200}, {V: 120, A: 300}}
	for v, want := range map[float64]float64{40: 500, 90: 300, 110: 300, 130: 0} {
		if a, i := Breaks(ratings, v); a != want || (i < 0) != (want == 0) {
			t.Errorf("at %v V: %v A by %d, want %v A", v, a, i, want)
		}
	}
}
