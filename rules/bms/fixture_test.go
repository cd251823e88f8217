package bms

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

var fixture = ruletest.Fixture{File: "testdata/fixture.yaml", Subject: "pack"}

func TestFamily(t *testing.T) { ruletest.Family(t, Rules(), ruletest.Except{}, fixture) }

// second are edits that put a second pack in series with the first, between that and the
// negative side of the controller.
var second = []string{
	"batteries.pack2", `{"role": "traction", "min_V": 44.8, "nominal_V": 51.2, "max_V": 58.4, "resistance_mOhm": 30}`,
	"wires.w4.to", `"pack2.neg"`,
	"wires.link", `{"from": "pack.neg", "to": "pack2.pos", "size": "95 mm2", "length_m": 0.2, "insulation": {"max_C": 105, "rated_V": 600}}`,
}
