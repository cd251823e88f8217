package calc

import (
	"errors"
	"math"
	"testing"
)

func TestDerating(t *testing.T) {
	points := []DeratingPoint{{50, 100}, {70, 60}, {85, 0}}
	for _, tc := range []struct{ c, want float64 }{
		{-40, 100}, {50, 100}, {60, 80}, {70, 60}, {77.5, 30}, {85, 0},
	} {
		near(t, "derating", followed(t)(Derating(points, tc.c)), tc.want, 1e-9)
	}
	near(t, "no points", followed(t)(Derating(nil, 90)), 100, 0)
	near(t, "one point", followed(t)(Derating([]DeratingPoint{{60, 80}}, 20)), 80, 0)
	// A curve that ends promises nothing beyond, whether or not it ended at nothing.
	for _, curve := range [][]DeratingPoint{points, points[:2], points[:1]} {
		var beyond *NotRatedError
		if _, err := Derating(curve, 90); !errors.As(err, &beyond) || beyond.LastC != curve[len(curve)-1].AtC {
			t.Errorf("%v at 90 C: %v, want a NotRatedError", curve, err)
		}
	}
	for _, bad := range [][]DeratingPoint{{{70, 60}, {50, 100}}, {{50, 100}, {50, 60}}, {{50, -1}}, {{50, math.NaN()}}, {{math.NaN(), 1}, {2, 1}}} {
		if v, err := Derating(bad, 60); err == nil {
			t.Errorf("%v gives %g, want an error", bad, v.Value)
		}
	}
	if _, err := Derating(points, math.NaN()); err == nil {
		t.Error("an ambient that is no number is taken")
	}
}

func TestInputPower(t *testing.T) {
	near(t, "efficiency alone", InputPower(223, 90), 223/0.9, 1e-9)
	near(t, "no losses", InputPower(276, 100), 276, 0)
	near(t, "no load", InputPower(0, 90), 0, 0)
	near(t, "its current", follow(t, InputCurrent(12, 5, 90, "V_in", 48)), 60/0.9/48, 1e-9)
}
