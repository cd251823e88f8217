package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

var fixture = ruletest.Fixture{File: "testdata/fixture.yaml", Subject: "dcdc"}

// auxiliary is a battery on the fixture's house network.
func auxiliary(more []rules.Edit) []rules.Edit {
	return append(ruletest.Edits(
		"batteries.aux", `{"role": "auxiliary", "min_V": 10.5, "nominal_V": 12.6, "max_V": 14.4, "resistance_mOhm": 20,
			"capacity_Ah": 10, "continuous_A": 15, "peak_A": 60, "peak_s": 5, "float_A": 0.5}`,
		"wires.w50", `{"from": "aux.pos", "to": "plus.stud", "size": "70 mm2", "length_m": 0.1}`,
		"wires.w51", `{"from": "aux.neg", "to": "minus.stud", "size": "70 mm2", "length_m": 0.1}`,
	), more...)
}

func TestFamily(t *testing.T) {
	ruletest.Family(t, Rules(), ruletest.Except{
		Gaps:     []string{"battery-flat-when-parked", "converter-start-high", "load-drop-high"},
		Fixtures: []string{"converter-lamp-inrush", "critical-load-single-fuse", "functions-lost-together"},
	}, fixture)
}
