package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// From an empty pack, 72 V, 100 Ohm pass at most V^2/4R = 12.96 W; at 96 V 23.04 W.
func TestPrechargeStalls(t *testing.T) {
	fixture.Play(t, prechargeStalls(), []ruletest.Scene{
		{Name: "plain", Subject: "k", Want: ruletest.Want{Verdict: rules.Passed, Demand: 86.4, Capability: 96}},
		{Name: "a bleed of nine times the resistor", Subject: "k", Replace: bleed("0.9"), Want: ruletest.Want{Verdict: rules.Passed, Capability: 86.4}},
		{Name: "a bleed of eight times", Subject: "k", Replace: bleed("0.8"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 96 * 8 / 9.}},
		// 0.9 W over 0.9 at 72 V: V (1 + sqrt(1 - 4 P R / V^2)) / 2 = 70.58 V.
		{Name: "a converter that draws little", Subject: "k", Replace: converter("50", "45", "0.9"), Want: ruletest.Want{Verdict: rules.Passed, Capability: 70.58, Demand: 64.8}},
		// 3.6 W over 0.9: 4 W leave 65.97 V.
		{Name: "a converter that draws a little more", Subject: "k", Replace: converter("50", "45", "3.6"), Want: ruletest.Want{Verdict: rules.Passed, Capability: 65.97}},
		// 7.2 W over 0.9: 8 W leave 58.26 V.
		{Name: "a converter that draws much", Subject: "k", Replace: converter("50", "45", "7.2"), Want: ruletest.Want{Verdict: rules.Failed, Capability: 58.26, Message: "dc draws"}},
		{Name: "a converter that draws too much", Subject: "k", Replace: converter("60", "50", "27"), Want: ruletest.Want{Verdict: rules.Failed, Message: "dc cycles"}},
		// From 72 V through 100 Ohm 10 W are fed between 18.8 and 53.2 V only, the roots of v^2
		// - 72 v + 1000; the converter starts at 17 V.
		{Name: "a converter that starts on the falling side", Subject: "k",
			Replace: join(converter("17", "15", "9"), []string{"input: {min_V: 40", "input: {min_V: 15"}),
			Want:    ruletest.Want{Verdict: rules.Failed, Message: "dc cycles"}},
		{Name: "unknown capacitance", Subject: "k", Replace: []string{", capacitance_uF: 4700", ""}, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.c.capacitance_uF"}},
		{Name: "unknown capacitance of the converter", Subject: "k", Replace: join(converter("50", "45", "1"), []string{", capacitance_uF: 220", ""}),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "converters.dc.input.capacitance_uF"}},
		{Name: "never energised", Subject: "k", Replace: []string{"ready: {closed: [d, key, c.coil_out]}", "ready: {closed: [d]}", "drive: {closed: [d, key, c.coil_out], ", "drive: {closed: [d], "},
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on"}},
		{Name: "no pre-charge", Subject: "k", Replace: noResistor},
	})
}
