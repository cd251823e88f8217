package thermal

import (
	"math"
	"testing"
)

func TestSpan(t *testing.T) {
	for s, want := range map[float64]string{
		0: "0 s", 4.26: "4.3 s", 99: "99 s", 260: "4 min 20 s", 300: "5 min", 3600: "1 h", 5400: "1 h 30 min", math.Inf(1): "unlimited time",
	} {
		if got := Span(s); got != want {
			t.Errorf("%v s: %q, want %q", s, got, want)
		}
	}
}
