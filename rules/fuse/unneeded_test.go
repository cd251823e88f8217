package fuse

import (
	"testing"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/ruletest"
)

// Breaking capacities are tested at a time constant of 10 ms and more (IEC 60269-1, from
// memory). That of the loops here is far below, so that none is asked for: 1 uH for battery,
// fuse and contact, 1 uH for each metre of thick cable, all of them in one loop, over the
// R = V / I_k of the rule. Thinner cable than 16 mm2 has 1 uH over 1.2 mOhm and more in each
// metre, less than 1 ms by itself.
func TestTimeConstantIsShort(t *testing.T) {
	const testedAtS = 10e-3
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		spec := ruletest.Changed(t, ruletest.Fleet()+"/"+vehicle)
		henry := 1e-6
		for _, w := range spec.Wires {
			if size, err := calc.ParseSize(w.Size); err == nil && size.AreaMM2 >= 16 {
				henry += 1e-6 * w.LengthM
			}
		}
		for _, r := range ruletest.On(t, breakingLow(), vehicle) {
			f := spec.Fuses[r.Subject]
			if f == nil || r.Demand.Value < 500 || f.Class == "blade" {
				continue
			}
			ohm := spec.Batteries["pack"].MaxV / r.Demand.Value
			if tau := henry / ohm; tau > testedAtS/5 {
				t.Errorf("%s of %s: %.3g uH over %.3g mOhm are %.3g ms", r.Subject, vehicle, 1e6*henry, 1e3*ohm, 1e3*tau)
			}
		}
	}
}

// A cold filament draws 10 times its current, and less than half of that after 10 ms
// (common practice). Lamps that a blade fuse carries continuously, 0.8 of its rating, put
// less than (8 I_n)^2 10 ms into it, at which its class does not melt: it needs no check of
// its own. UL and glass fuses have no gate there, and are slower or faster by their maker.
func TestFilamentInrushMeltsNoBladeFuse(t *testing.T) {
	curve, err := calc.NewCurve(calc.CurveSpec{Class: calc.ClassBlade, RatedA: 10})
	if err != nil {
		t.Fatal(err)
	}
	if s := curve.MinTime(8 * 10); s < 0.010 {
		t.Errorf("may melt at 8 I_n within %.3g ms", 1e3*s)
	}
}
