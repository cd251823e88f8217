package wiring

import (
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestKeyOffBackfeed(t *testing.T) {
	rule := keyOffBackfeed()
	t.Run("a diode that blocks towards the key is silent", func(t *testing.T) {
		ruletest.Silent(t, rule, "heron",
			ruletest.Edits("diodes.d1", `{"continuous_A": 3, "reverse_V": 100}`,
				"wires.d1_a", `{"from": "key.house_b", "to": "d1.anode", "size": "1.5 mm2", "length_m": 0.3}`,
				"wires.d1_b", `{"from": "d1.cathode", "to": "usb_fuse.b", "size": "1.5 mm2", "length_m": 0.3}`)...)
	})
	t.Run("the same diode reversed feeds back", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron",
			ruletest.Edits("diodes.d1", `{"continuous_A": 3, "reverse_V": 100}`,
				"wires.d1_a", `{"from": "key.house_b", "to": "d1.cathode", "size": "1.5 mm2", "length_m": 0.3}`,
				"wires.d1_b", `{"from": "d1.anode", "to": "usb_fuse.b", "size": "1.5 mm2", "length_m": 0.3}`)...)
		r := ruletest.Verdict(t, got, "key", rules.Failed)
		if len(r.Related) != 2 || !strings.HasSuffix(r.Message, "through usb_fuse, d1") {
			t.Errorf("%s; %d places, want those of the fuse and the diode", r.Message, len(r.Related))
		}
	})
	t.Run("conductors alone are named", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", ruletest.Edits("wires.bridge", `{"from": "key.house_a", "to": "key.house_b", "size": "1.5 mm2", "length_m": 0.1}`)...)
		if r := ruletest.Verdict(t, got, "key", rules.Failed); !strings.HasSuffix(r.Message, "through bridge") {
			t.Error(r.Message)
		}
	})
}

// Two networks of 12 V and 24 V behind the two poles of a key, and a key in the return.
var twoPoles = ruletest.Fixture{Subject: "key", Text: `
headroom: 1
vehicle: {name: fixture, use: off-road, chassis: isolated, ambient_C: {min: 20, max: 20}}
batteries:
  low: {role: auxiliary, min_V: 11, nominal_V: 12, max_V: 14.4, resistance_mOhm: 1}
  high: {role: auxiliary, min_V: 22, nominal_V: 24, max_V: 28.8, resistance_mOhm: 1}
switches: {key: {role: key, poles: {a: {}, b: {}}}}
loads:
  lamp: {kind: resistive, power_W: 12, at_V: 12}
  bell: {kind: resistive, power_W: 24, at_V: 24}
wires:
  h1: {from: high.pos, to: key.a_a, size: 10 mm2, length_m: 0.01}
  h2: {from: key.a_b, to: bell.pos, size: 10 mm2, length_m: 0.01}
  h3: {from: bell.neg, to: high.neg, size: 10 mm2, length_m: 0.01}
  l1: {from: low.neg, to: key.b_a, size: 10 mm2, length_m: 0.01}
  l2: {from: key.b_b, to: lamp.neg, size: 10 mm2, length_m: 0.01}
  l3: {from: lamp.pos, to: low.pos, size: 10 mm2, length_m: 0.01}
modes:
  on: {closed: [key], on: [lamp, bell]}
`}

func TestKeyOffBackfeedOfTwoPoles(t *testing.T) {
	around := func(id, from, to string) []rules.Edit {
		return ruletest.Edits("wires."+id, `{"from": "`+from+`", "to": "`+to+`", "size": "10 mm2", "length_m": 0.01}`)
	}
	high, low := around("x1", "high.pos", "bell.pos"), around("x2", "low.neg", "lamp.neg")
	twoPoles.Play(t, keyOffBackfeed(), []ruletest.Scene{
		{Name: "dead", Want: ruletest.Want{Verdict: rules.Passed}},
		// Its return is at the negative pole still: all 12 V are between it and the positive one.
		{Name: "a return past the key", Edits: low, Want: ruletest.Want{Verdict: rules.Failed, Mode: "on", Message: "pole b stays live, 12 V"}},
		{Name: "a return with the ends of its pole the other way round", Edits: ruletest.Edits("wires.l1.to", `"key.b_b"`, "wires.l2.from", `"key.b_a"`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "the higher of two", Edits: append(low, high...), Want: ruletest.Want{Verdict: rules.Failed, Mode: "on", Message: "pole a stays live, 24 V"}},
	})
}
