package precharge

import (
	"testing"

	"example.org/headroom/rules"
)

// From an empty pack, 72 V, 100 Ohm give at most V^2/4R = 12.96 W; 96 V give 23.04 W.
func TestPrechargeStalls(t *testing.T) {
	run(t, prechargeStalls(), []benchCase{
		{name: "plain", subject: "k", verdict: rules.Passed, demand: 86.4, capability: 96},
		{name: "a bleed of nine times the resistor", subject: "k", change: bleed("0.9"), verdict: rules.Passed, capability: 86.4},
		{name: "a bleed of eight times", subject: "k", change: bleed("0.8"), verdict: rules.Failed, level: rules.Error, capability: 96 * 8 / 9.},
		// 0.9 W over 0.9 at 72 V: V (1 + sqrt(1 - 4 P R / V^2)) / 2 = 70.58 V.
		{name: "a converter that takes little", subject: "k", change: converter("50", "45", "0.9"), verdict: rules.Passed, capability: 70.58, demand: 64.8},
		// 3.6 W over 0.9: 4 W leave 65.97 V.
		{name: "a converter that takes a little more", subject: "k", change: converter("50", "45", "3.6"), verdict: rules.Passed, capability: 65.97},
		// 7.2 W over 0.9: 8 W leave 58.26 V.
		{name: "a converter that takes much", subject: "k", change: converter("50", "45", "7.2"), verdict: rules.Failed, capability: 58.26, message: "dc draws"},
		{name: "a converter that takes too much", subject: "k", change: converter("60", "50", "27"), verdict: rules.Failed, message: "again and again"},
		// From 72 V through 100 Ohm 10 W are fed between 18.8 and 53.2 V only, the roots of v^2
		// - 72 v + 1000; the converter starts at 17 V.
		{name: "a converter that starts on the falling side", subject: "k",
			change:  join(converter("17", "15", "9"), []string{"input: {min_V: 40", "input: {min_V: 15"}),
			verdict: rules.Failed, message: "again and again"},
		{name: "unknown capacitance", subject: "k", change: []string{", capacitance_uF: 4700", ""}, verdict: rules.NotChecked, missing: "controllers.c.capacitance_uF"},
		{name: "unknown capacitance of the converter", subject: "k", change: join(converter("50", "45", "1"), []string{", capacitance_uF: 220", ""}),
			verdict: rules.NotChecked, missing: "converters.dc.input.capacitance_uF"},
		{name: "never energised", subject: "k", change: []string{"ready: {closed: [d, key]}", "ready: {closed: [d]}", "drive: {closed: [d, key], ", "drive: {closed: [d], "},
			verdict: rules.NotChecked, missing: "a mode that energises k"},
		{name: "no pre-charge", subject: "k", change: noResistor, silent: true},
	})
}
