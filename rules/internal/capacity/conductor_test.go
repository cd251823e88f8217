package capacity_test

import (
	"errors"
	"math"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/ruletest"
)

// Cables of several kinds, and a bar, between a pack and a controller.
var places = ruletest.Fixture{Text: `
headroom: 1
vehicle: {name: Ratings, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 40}}
zones: {bay: {rise_K: 15}}
batteries:
  pack: {role: traction, min_V: 40, nominal_V: 48, max_V: 56, resistance_mOhm: 10}
fuses:
  main: {class: bolt-down, rated_A: 100}
controllers:
  drive: {min_V: 30, max_V: 80}
studs: {far: {}}
wires:
  link: {from: pack.pos, to: far.stud, size: 35 mm2, length_m: 0.1, insulation: {max_C: 90, material: XLPE}}
  plus: {from: far.stud, to: main.a, size: 35 mm2, length_m: 0.1, insulation: {max_C: 125, material: XLPE}}
  out: {from: main.b, to: drive.pos, size: 35 mm2, length_m: 1, zone: bay, insulation: {max_C: 70, material: PVC}}
  minus: {from: drive.neg, to: pack.neg, size: 35 mm2, length_m: 1, insulation: {max_C: 105}}
busbars:
  bar: {from: main.a, to: far.stud, width_mm: 20, thickness_mm: 5, length_mm: 50, material: aluminium}
modes: {cool: {ambient_C: 30}}
`}

// with runs a function inside a rule on the vehicle.
func with(t *testing.T, f func(p *rules.Pass, c *rules.Check)) {
	t.Helper()
	ran := false
	ruletest.Run(t, places.Spec(t), []*rules.Rule{{ID: "probe", Family: "probe", Check: func(p *rules.Pass) {
		ran = true
		f(p, p.Subject("probe", "vehicle"))
	}}})
	if !ran {
		t.Fatal("the probe did not run")
	}
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, relative)
	}
}

// The temperature limit is the least of insulation and both terminals, 90 C
// unless they say otherwise; k follows from it. IEC 60364-5-54 Table A.54.2: 115
// for PVC from 70 C, 143 for XLPE from 90 C.
func TestConductor(t *testing.T) {
	with(t, func(p *rules.Pass, c *rules.Check) {
		for _, want := range []struct {
			id               string
			limitC, ambientC float64
			k                float64 // 0: not compared
		}{
			{"link", 90, 40, 143},
			{"plus", 90, 40, 143},
			{"out", 70, 55, 115},
			{"bar", 90, 40, 0},
		} {
			got, err := capacity.RateConductor(p, c.Working, want.id)
			if err != nil {
				t.Fatal(err)
			}
			if got.LimitC != want.limitC || got.AmbientC != want.ambientC {
				t.Errorf("%s: limit %v C in %v C, want %v in %v", want.id, got.LimitC, got.AmbientC, want.limitC, want.ambientC)
			}
			var replicas capacity.Replicas
			d, err := replicas.Damage(got, c.Working)
			if err != nil {
				t.Fatal(err)
			}
			if want.k > 0 {
				near(t, "k of "+want.id, math.Sqrt(d.WithstandI2t())/got.AreaMM2, want.k, 2e-3)
			}
			if again, _ := replicas.Damage(got, c.Working); again != d {
				t.Errorf("%s: the damage curve is made twice", want.id)
			}
		}
	})
}

func TestProposedSizes(t *testing.T) {
	with(t, func(p *rules.Pass, c *rules.Check) {
		wire, err := capacity.RateConductor(p, c.Working, "link")
		if err != nil {
			t.Fatal(err)
		}
		if size, ok := wire.ThinnestFor(p, wire.IzA); !ok || size != "35 mm2" {
			t.Errorf("thinnest for its own ampacity: %q", size)
		}
		if size, ok := wire.ThinnestFor(p, wire.IzA*1.01); !ok || size != "50 mm2" {
			t.Errorf("thinnest for a little more: %q", size)
		}
		// 127 800 A2s are what 2.5 mm2 bear with k = 143.
		if size, ok := thinnestWithstanding(t, p, wire, 127000); !ok || size != "2.5 mm2" {
			t.Errorf("thinnest for 127 000 A2s: %q", size)
		}
		if size, ok := thinnestWithstanding(t, p, wire, 129000); !ok || size != "4 mm2" {
			t.Errorf("thinnest for 129 000 A2s: %q", size)
		}
		bar, err := capacity.RateConductor(p, c.Working, "bar")
		if err != nil {
			t.Fatal(err)
		}
		if size, ok := bar.ThinnestFor(p, 10); ok {
			t.Errorf("a size %q for a bus bar", size)
		}
	})
}

func TestMissing(t *testing.T) {
	with(t, func(p *rules.Pass, c *rules.Check) {
		// Insulation that states nothing is taken for PVC, the least.
		p.Spec.Wires["out"].Insulation.MaxC.Known = false
		if out, err := capacity.RateConductor(p, c.Working, "out"); err != nil || out.LimitC != 70 {
			t.Errorf("limit %v C, error %v", out.LimitC, err)
		}
		var missing *rules.Missing
		p.Spec.Fuses["main"].Class = "other"
		if _, err := capacity.Curve(p.Spec.Fuses["main"]); !errors.As(err, &missing) || missing.Path != "fuses.main.opening" {
			t.Errorf("error %v", err)
		}
	})
}

// thinnestWithstanding is the thinnest size of a wire that withstands k2 S2 in A2s.
func thinnestWithstanding(t *testing.T, p *rules.Pass, wire *capacity.Conductor, i2t float64) (label string, ok bool) {
	t.Helper()
	return wire.ThinnestThat(p, func(c *capacity.Conductor) bool {
		d, err := c.Damage(p.Subject(c.ID, "").Working)
		return err == nil && d.WithstandI2t() >= i2t
	})
}
