package calc

import (
	"math"
	"testing"
)

func TestDerating(t *testing.T) {
	points := []DeratingPoint{{50, 100}, {70, 60}, {85, 0}}
	for _, tc := range []struct{ c, want float64 }{
		{-40, 100}, {50, 100}, {60, 80}, {70, 60}, {77.5, 30}, {85, 0}, {100, 0},
	} {
		near(t, "derating", followed(t)(Derating(points, tc.c)), tc.want, 1e-9)
	}
	near(t, "no points", followed(t)(Derating(nil, 90)), 100, 0)
	near(t, "one point", followed(t)(Derating([]DeratingPoint{{60, 80}}, 20)), 80, 0)
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
	near(t, "efficiency alone", must[float64](t)(InputPower(223, 276, 90, 0)), 223/0.9, 1e-9)
	near(t, "full load with standby", must[float64](t)(InputPower(276, 276, 90, 5)), 276/0.9, 1e-9)
	near(t, "no load with standby", must[float64](t)(InputPower(0, 276, 90, 5)), 5, 1e-9)
	small := must[float64](t)(InputPower(10, 276, 90, 5))
	if efficiency := 10 / small; efficiency > 0.7 {
		t.Errorf("a small load is fed at %.0f %%", 100*efficiency)
	}
	for _, tc := range [][4]float64{{-1, 1, 90, 0}, {1, 0, 90, 0}, {1, 1, 0, 0}, {1, 1, 101, 0}, {1, 1, 90, -1}} {
		if v, err := InputPower(tc[0], tc[1], tc[2], tc[3]); err == nil {
			t.Errorf("InputPower%v = %g, want an error", tc, v)
		}
	}
	if _, err := InputCurrent(100, 0); err == nil {
		t.Error("a converter without voltage draws a current")
	}
	if _, err := LoadCurrent(-1, 12); err == nil {
		t.Error("a negative load draws a current")
	}
}
