package calc

import (
	"math"
	"testing"
)

// Worked by hand: 200 A for 30 s over 100 A continuously leave (40000 - 10000) 30 =
// 900000 A2s above the continuous current; over 60 s that is 15000 A2, and
// sqrt(10000 + 15000) = 158.11 A.
func TestBurstCurrent(t *testing.T) {
	for _, tc := range []struct {
		name string
		s    float64
		want float64
	}{
		{"shorter than the peak", 10, 200},
		{"as long as the peak", 30, 200},
		{"twice as long", 60, 158.11388},
		{"continuously", math.Inf(1), 100},
	} {
		near(t, tc.name, followed(t)(BurstCurrent(200, 30, 100, tc.s)), tc.want, 1e-3)
	}
	near(t, "a peak below the continuous current", followed(t)(BurstCurrent(80, 30, 100, 60)), 100, 0)
	if _, err := BurstCurrent(0, 30, 100, 60); err == nil {
		t.Error("a peak of 0 A is taken")
	}
}
