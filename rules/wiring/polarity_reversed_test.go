package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestPolarityReversed(t *testing.T) {
	rule := polarityReversed()
	t.Run("a filament lamp has no polarity", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron", ruletest.Edits("loads.turn_front.kind", `"filament"`,
			"wires.w_turn_front_pos.to", `"turn_front.neg"`,
			"wires.w_turn_front_neg.from", `"turn_front.pos"`)...)
	})
	t.Run("a suppression diode across a coil blocks", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron",
			ruletest.Edits("diodes.d1", `{"continuous_A": 1, "reverse_V": 100}`,
				"wires.d1_a", `{"from": "d1.cathode", "to": "main_contactor.coil_pos", "size": "1.5 mm2", "length_m": 0.05}`,
				"wires.d1_b", `{"from": "d1.anode", "to": "main_contactor.coil_neg", "size": "1.5 mm2", "length_m": 0.05}`)...)
	})
	t.Run("a coil with a diode of its own is a short circuit in reverse", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", ruletest.Edits("contactors.main_contactor.coil.suppression", `"diode"`,
			"wires.w_coil_contactor.to", `"main_contactor.coil_neg"`,
			"wires.w_coil_relay.from", `"main_contactor.coil_neg"`,
			"wires.w_coil_relay_ret.to", `"main_contactor.coil_pos"`,
			"wires.w_coil_ret.from", `"main_contactor.coil_pos"`)...)
		ruletest.Verdict(t, got, "main_contactor", rules.Failed)
	})
}

// A lamp at the wrong poles of 12 V behind 0.1 Ohm, which 24 A of a charger raise to its 14.4 V.
func TestTheMostReversedModeCounts(t *testing.T) {
	f := ruletest.Fixture{Subject: "lamp", Text: `
headroom: 1
vehicle: {name: fixture, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries: {aux: {role: auxiliary, min_V: 11, nominal_V: 12, max_V: 14.4, resistance_mOhm: {min: 100, typ: 100, max: 100}}}
chargers: {charger: {max_V: 14.4, max_A: 30, isolated: true}}
loads: {lamp: {kind: led, power_W: 0.012, at_V: 12}}
wires:
  a: {from: aux.pos, to: lamp.neg, size: 70 mm2, length_m: 0.01}
  b: {from: lamp.pos, to: aux.neg, size: 70 mm2, length_m: 0.01}
  c: {from: charger.pos, to: aux.pos, size: 70 mm2, length_m: 0.01}
  d: {from: charger.neg, to: aux.neg, size: 70 mm2, length_m: 0.01}
modes:
  charge: {connected: [charger]}
  rest: {on: [lamp]}
`}
	f.Play(t, polarityReversed(), []ruletest.Scene{{Name: "charging", Want: ruletest.Want{Verdict: rules.Failed, Mode: "charge", Message: "-14.4 V from"}}})
}
