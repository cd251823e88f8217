package charging_test

import (
	"math"
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// with calls f with a pass over a vehicle.
func with(t *testing.T, spec *schema.Spec, f func(p *rules.Pass)) {
	t.Helper()
	ruletest.Run(t, spec, []*rules.Rule{{ID: "probe", Family: "probe", Check: f}})
}

// The fleet's pre-charges are plain, and a run in time over the whole circuit
// agrees with the formulas of a resistor and a capacitor with a bleed.
func TestPlainFormulasAgreeWithTheRun(t *testing.T) {
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		with(t, ruletest.Load(t, filepath.Join(ruletest.Fleet(), vehicle)), func(p *rules.Pass) {
			list := charging.Attempts(p)
			if len(list) != 1 || !list[0].Plain() {
				t.Fatalf("%s: %d pre-charges, want one, and plain", vehicle, len(list))
			}
			a := list[0]
			c := a.Run(p, circuit.Highest)
			closes, ok := c.First(a.Contactor.ID)
			if c.Failed != "" || !ok || closes.S != a.Delay().Value {
				t.Fatalf("%s: closes at %v s, want %v: %s", vehicle, closes.S, a.Delay().Value, c.Failed)
			}
			full := p.Spec.Batteries["pack"].MaxV
			v, _ := c.Before(closes).Across("drive.pos", "drive.neg")
			want, _ := a.Charge(full).VoltageAfter(closes.S)
			heat, _ := a.Charge(full).HeatAfter(closes.S)
			if math.Abs(v-want.Value) > 1e-3*full || math.Abs(c.HeatJ("soft")-heat.Value) > 5e-3*heat.Value {
				t.Errorf("%s: %v V and %v J in the run, %v V and %v J by the formulas", vehicle, v, c.HeatJ("soft"), want.Value, heat.Value)
			}
		})
	}
}

// A pre-charge that the disconnect begins, with a contactor that closes as soon as
// the key does: what the controller's logic draws through the key comes too late
// to disturb it, even where its return goes through the resistor.
func TestThePreChargeIsOverBeforeTheKey(t *testing.T) {
	sound := filepath.Join(ruletest.Fleet(), "..", "sound")
	with(t, ruletest.Load(t, filepath.Join(sound, "negative-side-contactor.yaml")), func(p *rules.Pass) {
		a := charging.Attempts(p)[0]
		v, full, oscillating, ok := a.Settled(p, circuit.Highest)
		if !ok || oscillating != "" || v < 0.97*full {
			t.Errorf("settles at %v V of %v V, oscillating %q", v, full, oscillating)
		}
	})
}

func TestOf(t *testing.T) {
	with(t, ruletest.Load(t, filepath.Join(ruletest.Fleet(), "heron")), func(p *rules.Pass) {
		for _, tc := range []struct {
			contact    string
			capacitors int
			resisted   bool
			way        int // resistors on the way around
		}{
			{"main_contactor.contact", 1, false, 1},
			{"soft_relay.no", 1, true, 1}, // around it lead the contactor and the resistor itself
			{"isolator", 1, false, 0},     // the converter; the controller waits behind the contactor
			{"light_switch.head", 0, true, 0},
		} {
			k := charging.Of(p, p.Circuit.Edge(tc.contact))
			if len(k.Capacitors) != tc.capacitors || len(k.Capacitors) > 0 && k.Resisted != tc.resisted || len(k.Resistors(p)) != tc.way {
				t.Errorf("%s: capacitors %d, through a resistor %v, resistors around it %d", tc.contact, len(k.Capacitors), k.Resisted, len(k.Resistors(p)))
			}
		}
	})
}

// A converter behind the contactor, whose lamp the key turns on with the coil: while the
// armature moves, at most 50 ms, 40 W / 0.9 take the capacitors of 2247 uF from
// 58.4 V * 22 / 22.47 = 57.2 V to sqrt(57.2^2 - 2 * 44.4 * 0.05 / 2.247e-3) = 36 V; the
// resistor makes up for less than a volt.
func TestConstantPowerDrawsTheCapacitorsDownAsTheContactMoves(t *testing.T) {
	sound := filepath.Join(ruletest.Fleet(), "..", "sound", "converter-alone.yaml")
	with(t, ruletest.Load(t, sound), func(p *rules.Pass) {
		if volt, who := charging.Attempts(p)[0].Dip(p); volt != 0 {
			t.Errorf("falls by %v V to %s with nothing behind the contactor", volt, who)
		}
	})
	with(t, ruletest.Changed(t, sound, ruletest.Edits("wires.c1.from", `"main_contactor.b"`)...), func(p *rules.Pass) {
		volt, who := charging.Attempts(p)[0].Dip(p)
		if want := 57.2 - 36; who != "dcdc" || math.Abs(volt-want) > 0.05*want {
			t.Errorf("falls by %v V to %q, want %v V to dcdc", volt, who, want)
		}
	})
}
