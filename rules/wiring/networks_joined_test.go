package wiring

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestNetworksJoined(t *testing.T) {
	rule := networksJoined()
	chassis := ruletest.Edits("wires.to_chassis", `{"from": "minus.stud", "to": "chassis", "size": "2.5 mm2", "length_m": 0.3}`)
	t.Run("a 72 V pack on the chassis", func(t *testing.T) {
		ruletest.Verdict(t, ruletest.On(t, rule, "heron", chassis...), "pack", rules.Failed)
	})
	t.Run("through a converter that is not isolated", func(t *testing.T) {
		r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", ruletest.Edits("converters.converter.isolated", "false")...), "pack", rules.Failed)
		if want := "replace converter by a converter with galvanic isolation"; !strings.Contains(r.Fix, want) {
			t.Errorf("fix %q lacks %q", r.Fix, want)
		}
	})
	t.Run("a 48 V pack of class A may be on the chassis", func(t *testing.T) {
		ruletest.Silent(t, rule, "mole", append(chassis, ruletest.Edits("converters.converter.isolated", "false")...)...)
	})
	t.Run("the poles of a two-pole key do not join its networks", func(t *testing.T) { ruletest.Silent(t, rule, "heron") })
}

// A chassis that is declared isolated must be so at any voltage.
func TestIsolatedChassis(t *testing.T) {
	rule := networksJoined()
	cart := func(end string) map[string]rules.Result {
		spec := ruletest.Load(t, ruletest.Write(t, t.TempDir(), "cart.yaml", `
headroom: 1
vehicle: {name: Cart, use: off-road, chassis: isolated}
batteries: {pack: {role: traction, min_V: 44.8, nominal_V: 51.2, max_V: 58.4, resistance_mOhm: 15}}
loads: {lamp: {kind: led, power_W: 20, at_V: 51}}
wires:
  w1: {from: pack.pos, to: lamp.pos, size: 4 mm2, length_m: 0.1}
  w2: {from: lamp.neg, to: `+end+`, size: 4 mm2, length_m: 0.1}
  w3: {from: pack.neg, to: `+end+`, size: 4 mm2, length_m: 0.1}
studs: {minus: {}}
`))
		out := map[string]rules.Result{}
		for _, r := range ruletest.Run(t, spec, []*rules.Rule{rule}) {
			out[r.Subject] = r
		}
		return out
	}
	ruletest.Verdict(t, cart("chassis"), "pack", rules.Failed)
	ruletest.Verdict(t, cart("minus.stud"), "pack", rules.Passed)
}
