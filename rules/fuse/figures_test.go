package fuse

import (
	"math"
	"testing"
)

func TestFigures(t *testing.T) {
	for s, want := range map[float64]string{
		0: "0 s", 0.0044361: "4.436 ms", 0.1: "0.1 s", 45: "45 s", 599: "599 s",
		1800: "30 min", 7200: "2 h", 9000: "2.5 h", math.Inf(1): "unlimited time",
	} {
		if got := seconds(s); got != want {
			t.Errorf("%v s: %q, want %q", s, got, want)
		}
	}
	for v, want := range map[float64]float64{127956: 127000, 62355: 62300, 1247.9: 1240, 15.36: 15.3, 0.32589: 0.325, 80: 80, 0: 0} {
		if got := roundDown(v); math.Abs(got-want) > 1e-9*want {
			t.Errorf("%v rounded down: %v, want %v", v, got, want)
		}
	}
}
