package calc

import (
	"errors"
	"fmt"
	"math"
	"testing"
)

// relaxed solves the equation of a short cable by finite differences, with heat
// flow and resistance at the temperature of each place: an independent answer
// to the linear solution. It returns the middle and the hottest temperature, and
// the heat that the terminals give.
func relaxed(t testing.TB, c Cable, lengthM, currentA, ambientC, end1C, end2C float64) (middle, hottest, fromEndsW float64) {
	t.Helper()
	flow, err := c.heatFlow(ambientC)
	if err != nil {
		t.Fatal(err)
	}
	const n = 100
	dx := lengthM / n
	stiffness := CopperConductivity * c.Size.AreaMM2 * 1e-6 / (dx * dx)
	temps := make([]float64, n+1)
	for i := range temps {
		temps[i] = end1C + (end2C-end1C)*float64(i)/n
	}
	for range 200 {
		// One Newton step: the tridiagonal system of the linearised balance.
		upper, right := make([]float64, n+1), make([]float64, n+1)
		right[0] = end1C
		var moved float64
		for i := 1; i < n; i++ {
			const d = 0.01
			loss := flow.loss(temps[i])
			slope := (flow.loss(temps[i]+d) - loss) / d
			heat := currentA * currentA * c.Size.R20
			diagonal := -2*stiffness - slope + heat*CopperAlpha20
			constant := loss - slope*temps[i] - heat*CopperFactor(0)
			pivot := diagonal - stiffness*upper[i-1]
			upper[i] = stiffness / pivot
			right[i] = (constant - stiffness*right[i-1]) / pivot
		}
		next := end2C
		for i := n - 1; i > 0; i-- {
			next = right[i] - upper[i]*next
			moved = math.Max(moved, math.Abs(next-temps[i]))
			temps[i] = next
		}
		temps[n] = end2C
		if moved < 1e-6 {
			break
		}
	}
	for _, temp := range temps {
		hottest = math.Max(hottest, temp)
	}
	// What the ends give is what the air takes less what the current makes.
	for i := range n {
		mid := (temps[i] + temps[i+1]) / 2
		fromEndsW += dx * (flow.loss(mid) - currentA*currentA*c.Size.R20*CopperFactor(mid))
	}
	return temps[n/2], hottest, fromEndsW
}

func TestShortCableAgainstFiniteDifferences(t *testing.T) {
	for _, tc := range []struct {
		label                         string
		length, current, end1C, end2C float64
	}{
		{"35 mm2", 0.1, 150, 60, 60},
		{"35 mm2", 0.3, 150, 60, 80},
		{"35 mm2", 0.1, 500, 60, 60}, // far beyond its free-air ampacity, held by its ends
		{"35 mm2", 0.3, 250, 90, 50},
		{"70 mm2", 0.6, 250, 70, 70},
		{"95 mm2", 0.4, 50, 90, 90}, // terminals heat the cable
		{"2.5 mm2", 0.05, 60, 50, 50},
		{"2/0 SAE", 0.18, 400, 85, 75},
		{"6 mm2", 0.05, 300, 60, 60}, // losses grow faster than the air cools
		{"1.5 mm2", 0.03, 207, 40, 90},
		{"1.5 mm2", 0.03, 207, 90, 40},
		{"1.5 mm2", 0.032, 170, 40, 300}, // hottest in the last quarter
	} {
		c := Cable{Size: size(t, tc.label)}
		f, err := ShortCable(c, tc.length, tc.current, 40, tc.end1C, tc.end2C)
		if err != nil {
			t.Errorf("%+v: %v", tc, err)
			continue
		}
		middle, hottest, fromEndsW := relaxed(t, c, tc.length, tc.current, 40, tc.end1C, tc.end2C)
		if tolerance := 0.5 + 0.005*(hottest-40); math.Abs(f.MiddleC-middle) > tolerance || math.Abs(f.HottestC-hottest) > tolerance {
			t.Errorf("%s of %g m at %g A: middle %.1f C, hottest %.1f C; finite differences %.1f and %.1f C",
				tc.label, tc.length, tc.current, f.MiddleC, f.HottestC, middle, hottest)
		}
		if math.Abs(f.HeatFromEndsW-fromEndsW) > 0.3+0.03*math.Abs(fromEndsW) {
			t.Errorf("%s of %g m at %g A: %.2f W from the ends, finite differences %.2f W",
				tc.label, tc.length, tc.current, f.HeatFromEndsW, fromEndsW)
		}
	}
}

func TestLongCableHasNoEnds(t *testing.T) {
	c := Cable{Size: size(t, "50 mm2")}
	a := must[float64](t)(FreeAirAmpacity(c, 90, 30))
	f := must[Fin](t)(ShortCable(c, 5, a, 30, 60, 60))
	near(t, "middle of a long cable", f.MiddleC, 90, 0.1)
	if f.HeatFromEndsW >= 0 {
		t.Errorf("terminals cooler than the cable give it %g W", f.HeatFromEndsW)
	}
}

func TestFinLength(t *testing.T) {
	// 1/m of 35 to 95 mm2 with h of 10 to 15 W/m2K is 0.15 to 0.26 m by the
	// textbook form sqrt(h P/(k A)); it grows as the cable nears its limit.
	for _, label := range []string{"35 mm2", "50 mm2", "70 mm2", "95 mm2"} {
		c := Cable{Size: size(t, label)}
		light := must[Fin](t)(ShortCable(c, 5, 1, 30, 60, 60))
		if light.LengthM < 0.15 || light.LengthM > 0.30 {
			t.Errorf("%s without load: 1/m = %.3f m", label, light.LengthM)
		}
		a := must[float64](t)(FreeAirAmpacity(c, 90, 30))
		loaded := must[Fin](t)(ShortCable(c, 5, a, 30, 60, 60))
		if loaded.LengthM <= light.LengthM*0.99 {
			t.Errorf("%s: 1/m = %.3f m loaded, %.3f m without load", label, loaded.LengthM, light.LengthM)
		}
	}
}

func TestShortCableBoundaries(t *testing.T) {
	c := Cable{Size: size(t, "35 mm2")}
	if f, err := ShortCable(c, 2, 2000, 40, 60, 60); !errors.Is(err, ErrNoEquilibrium) {
		t.Errorf("2 m at 2 kA: %+v, %v; want ErrNoEquilibrium", f, err)
	}
	f := must[Fin](t)(ShortCable(c, 0.2, 0, 40, 40, 40))
	near(t, "no current, ends at ambient", f.HottestC, 40, 0.01)
	for _, tc := range []struct{ length, current, end float64 }{
		{0, 100, 60}, {math.NaN(), 100, 60}, {1, -1, 60}, {1, 100, math.NaN()}, {1, 100, 1e4},
	} {
		if f, err := ShortCable(c, tc.length, tc.current, 40, tc.end, 60); err == nil {
			t.Errorf("%+v gives %+v, want an error", tc, f)
		}
	}
}

func TestShortCableIsMonotonic(t *testing.T) {
	for _, label := range []string{"6 mm2", "35 mm2", "95 mm2"} {
		c := Cable{Size: size(t, label)}
		before := 0.0
		for i := range 60 {
			current := 10 * float64(i)
			f, err := ShortCable(c, 0.15, current, 40, 60, 60)
			if errors.Is(err, ErrNoEquilibrium) {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
			if f.HottestC < before-1e-6 || math.IsNaN(f.HottestC+f.MiddleC+f.HeatFromEndsW) {
				t.Errorf("%s", fmt.Sprintf("%s at %g A is at %g C, cooler than at less current", label, current, f.HottestC))
			}
			before = f.HottestC
		}
	}
}
