package calc

import (
	"math"
	"testing"
)

// A race knows the worst margin of each range, to the last digit, as if the range were
// gone through by itself; and of most it knows without that.
func TestRaceIsTheWorstMargin(t *testing.T) {
	points := []Point{{20, 100}, {50, 1}, {100, 0.1}}
	for _, tc := range []struct {
		name  string
		fuse  CurveSpec
		label string
		loA   float64
	}{
		{"bolt-down", CurveSpec{Class: ClassBoltDown, RatedA: 200}, "70 mm2", 270},
		{"too large", CurveSpec{Class: ClassBoltDown, RatedA: 400}, "10 mm2", 540},
		{"blade", CurveSpec{Class: ClassBlade, RatedA: 15}, "1.5 mm2", 20.25},
		{"a branch seen from the trunk", CurveSpec{Class: ClassUL, RatedA: 5}, "95 mm2", 6.75},
		{"UL", CurveSpec{Class: ClassUL, RatedA: 5}, "1.5 mm2", 6.75},
		{"gG", CurveSpec{Class: ClassGG, RatedA: 100}, "35 mm2", 500},
		{"below what opens it", CurveSpec{Class: ClassGG, RatedA: 100}, "35 mm2", 110},
		{"points", CurveSpec{Class: ClassUL, RatedA: 10, Max: points}, "1.5 mm2", 20},
		{"points and a small total I2t", CurveSpec{Class: ClassUL, RatedA: 10, Max: points, TotalI2t: 100}, "1.5 mm2", 20},
		{"points and a large total I2t", CurveSpec{Class: ClassUL, RatedA: 10, Max: points, TotalI2t: 5000}, "1.5 mm2", 20},
		{"a kink from slow to fast", CurveSpec{Class: ClassUL, RatedA: 10, Max: []Point{{20, 100}, {60, 50}, {300, 0.05}}}, "4 mm2", 20},
		{"a kink at an adiabatic time", CurveSpec{Class: ClassUL, RatedA: 10, Max: []Point{{20, 3}, {60, 2}, {63, 1.8}, {300, 0.01}}}, "1.5 mm2", 20},
		{"total I2t alone", CurveSpec{Class: "unheard of", RatedA: 10, TotalI2t: 5000}, "1.5 mm2", math.Sqrt(5000 / 0.01)},
		{"total I2t from below where it speaks", CurveSpec{Class: "unheard of", RatedA: 10, TotalI2t: 5000}, "95 mm2", 20},
	} {
		fuse, d := curve(t, tc.fuse), damage(t, tc.label)
		r := NewRace(fuse, d, tc.loA)
		// Downwards too, since what is known of one range serves the others.
		var all []float64
		for hiA := tc.loA; hiA < 20000; hiA *= 1.037 {
			all = append(all, hiA, 20000*tc.loA/hiA)
		}
		for hiA := max(60, tc.loA); hiA < 66; hiA += 0.03 {
			all = append(all, hiA) // around the kink
		}
		for _, hiA := range all {
			got, want := must[Worst](t)(r.Worst(hiA)), must[Worst](t)(WorstMargin(fuse, d.Time, tc.loA, hiA))
			if got != want {
				t.Errorf("%s up to %g A: %+v, want %+v", tc.name, hiA, got, want)
			}
		}
	}
	r := NewRace(curve(t, CurveSpec{Class: ClassUL, RatedA: 5}), damage(t, "95 mm2"), 6.75)
	for _, hiA := range []float64{700, 1000, 1500, 3000} {
		if _, ok := r.atEnd(hiA); !ok {
			t.Errorf("up to %g A the margin is gone through point by point", hiA)
		}
	}
}

func TestRaceErrors(t *testing.T) {
	fuse, d := curve(t, CurveSpec{Class: ClassBoltDown, RatedA: 250}), damage(t, "25 mm2")
	for _, tc := range [][2]float64{{0, 100}, {-1, 100}, {200, 100}, {math.NaN(), 100}, {100, math.Inf(1)}, {100, math.NaN()}} {
		if w, err := NewRace(fuse, d, tc[0]).Worst(tc[1]); err == nil {
			t.Errorf("from %g to %g A: %+v, want an error", tc[0], tc[1], w)
		}
	}
}
