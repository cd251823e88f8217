package measurement

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestMeterRangeLow(t *testing.T) {
	rule := meterRangeLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "amperes within", Subject: "amps", Want: ruletest.Want{Verdict: rules.Passed, Demand: 101.951, Capability: 300, Mode: "everything on"}},
		{Name: "amperes beyond the scale", Subject: "amps", Edits: ruletest.Edits("shunts.s.rated_A", "90", "meters.amps.full_scale_A", "90"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 101.95, Capability: 90, Fix: "for at least 102 A"}},
		// 100 mV of the meter at 50 mV of the shunt: the scale ends at 600 A.
		{Name: "by the millivolts", Subject: "amps", Edits: ruletest.Edits("meters.amps.drop_mV", "100"), Want: ruletest.Want{Verdict: rules.Passed, Capability: 600, Primary: "shunt-meter-mismatch/amps"}},
		{Name: "regeneration counts", Subject: "amps", Edits: ruletest.Edits("modes.brake.draw.drive.regen_A", "400"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 400, Mode: "brake"}},
		{Name: "volts within", Subject: "volt", Want: ruletest.Want{Verdict: rules.Passed, Demand: 84, Capability: 100}},
		{Name: "volts beyond the scale", Subject: "volt", Edits: ruletest.Edits("meters.volt.full_scale_V", "80"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 84, Capability: 80}},
		{Name: "volts under regeneration", Subject: "volt", Edits: ruletest.Edits("controllers.drive.regen_A", "40"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 84.8}},
		{Name: "no scale of volts", Subject: "volt", Edits: ruletest.Edits("meters.volt.full_scale_V", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "meters.volt.full_scale_V"}},
		{Name: "no scale of amperes", Subject: "amps", Edits: ruletest.Edits("meters.amps.full_scale_A", "", "meters.amps.drop_mV", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "meters.amps.full_scale_A"}},
	})
}
