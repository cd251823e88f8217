package precharge

import (
	"testing"

	"example.org/headroom/rules"
)

func TestPrechargeVoltageLow(t *testing.T) {
	run(t, prechargeVoltageLow(), []benchCase{
		{name: "plain", verdict: rules.Passed, demand: 96, capability: 500},
		{name: "made for 90 V", change: []string{"max_V: 500", "max_V: 90"}, verdict: rules.Failed, level: rules.Error, demand: 96, capability: 90},
		// Of 100 and 50 Ohm in series the first takes two thirds.
		{name: "two in series", change: []string{"max_V: 500}", "max_V: 90}, r3: {role: precharge, resistance_Ohm: 50}",
			"r2: {from: r.b, to: k.b,", "r2: {from: r3.b, to: k.b,", "modes:", "  r4: {from: r.b, to: r3.a, size: 1.5 mm2, length_m: 0.1}\nmodes:"},
			verdict: rules.Passed, demand: 64},
		{name: "unknown", change: []string{", max_V: 500", ""}, verdict: rules.NotChecked, missing: "resistors.r.max_V"},
	})
}
