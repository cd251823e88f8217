package demand_test

import (
	"errors"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/rules/ruletest"
)

// Two packs in series feed a controller that feeds back; another stands alone.
var packs = ruletest.Fixture{Text: `
headroom: 1
vehicle: {name: packs, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 40}}
batteries:
  lower: {role: traction, min_V: 20, nominal_V: 24, max_V: 28, resistance_mOhm: 10}
  upper: {role: traction, min_V: 20, nominal_V: 24, max_V: 28, short_circuit_A: 3500}
  spare_pack: {role: traction, min_V: 20, nominal_V: 24, max_V: 28, resistance_mOhm: {min: 7, max: 25}}
controllers: {drive: {min_V: 30, max_V: 80, regen_A: 50}}
studs: {alone: {}}
wires:
  link: {from: lower.pos, to: upper.neg, size: 35 mm2, length_m: 0.1}
  out: {from: upper.pos, to: drive.pos, size: 35 mm2, length_m: 1}
  minus: {from: drive.neg, to: lower.neg, size: 35 mm2, length_m: 1}
  spare: {from: spare_pack.pos, to: alone.stud, size: 35 mm2, length_m: 1}
modes: {}
`}

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
	with(t, packs, nil, func(d *demand.Demands, c *rules.Check) {
		p := d.Pass
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
	with(t, packs, nil, func(d *demand.Demands, c *rules.Check) {
		p := d.Pass
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

// What would pass with the voltage that is known is not checked where regeneration
// adds to it nobody knows how much; what fails already does fail.
func TestVoltageUnknown(t *testing.T) {
	with(t, packs, ruletest.Edits("batteries.upper.short_circuit_A", ""), func(d *demand.Demands, c *rules.Check) {
		v, err := demand.HighestVoltage(d.Pass, c.Working, []circuit.Source{source(t, d.Pass, "lower")})
		near(t, "voltage without regeneration", v, 56, 0)
		var missing *rules.Missing
		if !errors.As(err, &missing) || missing.Path != "batteries.upper.resistance_mOhm" {
			t.Fatalf("error %v", err)
		}
		if demand.VoltageUnknown(c, err, false, "of drive") || demand.VoltageUnknown(c, nil, true, "of drive") {
			t.Error("a voltage that suffices to decide is taken for unknown")
		}
		if !demand.VoltageUnknown(c, err, true, "of drive") {
			t.Error("an unknown voltage is taken for known")
		}
	})
}
