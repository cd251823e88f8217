package capacity_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/rules/ruletest"
)

// a vehicle of two packs in series, with cables of several kinds.
const vehicle = `
headroom: 1
vehicle: {name: Ratings, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 40}}
zones: {bay: {rise_K: 15}}
batteries:
  lower: {role: traction, min_V: 20, nominal_V: 24, max_V: 28, resistance_mOhm: 10}
  upper: {role: traction, min_V: 20, nominal_V: 24, max_V: 28, short_circuit_A: 3500}
  spare_pack: {role: traction, min_V: 20, nominal_V: 24, max_V: 28, resistance_mOhm: {min: 7, max: 25}}
fuses:
  main: {class: bolt-down, rated_A: 100}
controllers:
  drive: {min_V: 30, max_V: 80, regen_A: 50}
wires:
  link: {from: lower.pos, to: upper.neg, size: 35 mm2, length_m: 0.1, insulation: {max_C: 90, material: XLPE}}
  plus: {from: upper.pos, to: main.a, size: 35 mm2, length_m: 0.1, insulation: {max_C: 125, material: XLPE}}
  out: {from: main.b, to: drive.pos, size: 35 mm2, length_m: 1, zone: bay, insulation: {max_C: 70, material: PVC}}
  minus: {from: drive.neg, to: lower.neg, size: 35 mm2, length_m: 1, insulation: {max_C: 105}}
  hot: {from: spare_pack.pos, to: spare_pack.neg, size: 4 AWG, length_m: 1, bundle: loom, insulation: {max_C: 105}}
busbars:
  bar: {from: main.a, to: upper.pos, width_mm: 20, thickness_mm: 5, length_mm: 50, material: aluminium}
modes: {}
`

// with runs a function inside a rule on the vehicle.
func with(t *testing.T, f func(p *rules.Pass, c *rules.Check)) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "vehicle.yaml")
	if err := os.WriteFile(file, []byte(vehicle), 0o644); err != nil {
		t.Fatal(err)
	}
	ran := false
	ruletest.Run(t, ruletest.Load(t, file), []*rules.Rule{{ID: "test", Family: "test", Check: func(p *rules.Pass) {
		ran = true
		f(p, p.Subject("test", "vehicle"))
	}}})
	if !ran {
		t.Fatal("the rule did not run")
	}
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s = %v, want %v within %v", what, got, want, relative)
	}
}

func source(t *testing.T, p *rules.Pass, id string) circuit.Source {
	t.Helper()
	for _, s := range p.Circuit.Sources() {
		if s.ID == id {
			return s
		}
	}
	t.Fatalf("no source %s", id)
	return circuit.Source{}
}

// lower typically 10 mOhm; upper 28 V / 3500 A = 8 mOhm at its least, 8/0.6 =
// 13.33 mOhm typically: 56 V + 50 A x 23.33 mOhm = 57.17 V.
func TestHighestVoltage(t *testing.T) {
	with(t, func(p *rules.Pass, c *rules.Check) {
		for _, id := range []string{"lower", "upper"} {
			list := p.Circuit.StringOf(source(t, p, id))
			if len(list) != 2 || list[0].ID != "lower" || list[1].ID != "upper" {
				t.Errorf("string of %s: %v", id, list)
			}
			v, err := demand.HighestVoltage(p, c.Working, []circuit.Source{source(t, p, id)})
			if err != nil {
				t.Error(err)
			}
			near(t, "voltage of "+id, v, 56+50*(10+8/0.6)/1000, 1e-9)
		}
		v, _ := demand.HighestVoltage(p, c.Working, []circuit.Source{source(t, p, "spare_pack")})
		near(t, "a pack of its own", v, 28, 0)
	})
}

func TestBatteryResistance(t *testing.T) {
	with(t, func(p *rules.Pass, c *rules.Check) {
		for _, want := range []struct {
			id     string
			bound  circuit.Bound
			mOhm   float64
			origin rules.OriginKind // of the last step
		}{
			{"lower", circuit.Typical, 10, rules.FromSpec},
			{"lower", circuit.Least, 6, rules.FromFormula},
			{"lower", circuit.Greatest, 20, rules.FromFormula},
			{"upper", circuit.Least, 8, rules.FromFormula},
			{"spare_pack", circuit.Least, 7, rules.FromSpec},
			{"spare_pack", circuit.Greatest, 25, rules.FromSpec},
			{"spare_pack", circuit.Typical, 16, rules.FromSpec},
		} {
			ohm, err := demand.BatteryResistance(p, c.Working, want.id, want.bound)
			if err != nil {
				t.Fatal(err)
			}
			near(t, want.id, 1000*ohm, want.mOhm, 1e-9)
			steps := c.Steps()
			if last := steps[len(steps)-1]; last.Origin.Kind != want.origin {
				t.Errorf("%s: the step %q comes from %s, want %s", want.id, last.What, last.Origin.Kind, want.origin)
			}
		}
	})
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
