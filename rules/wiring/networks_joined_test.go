package wiring

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestNetworksJoined(t *testing.T) {
	rule := networksJoined()
	ruletest.Example(t, rule)
	chassis := rules.Edit{Path: "wires.to_chassis", Value: `{"from": "minus.stud", "to": "chassis", "size": "2.5 mm2", "length_m": 0.3}`}
	t.Run("a 72 V pack on the chassis", func(t *testing.T) {
		ruletest.Verdict(t, ruletest.On(t, rule, "heron", chassis), "pack", rules.Failed)
	})
	t.Run("a 48 V pack of class A may be on the chassis", func(t *testing.T) {
		ruletest.Silent(t, rule, "mole", chassis, rules.Edit{Path: "converters.converter.isolated", Value: "false"})
	})
	t.Run("the poles of a two-pole key do not join its networks", func(t *testing.T) { ruletest.Silent(t, rule, "heron") })
}
