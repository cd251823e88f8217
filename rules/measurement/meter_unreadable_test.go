package measurement

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestMeterUnreadable(t *testing.T) {
	rule := meterUnreadable()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a third of the scale", Subject: "amps", Want: ruletest.Want{Verdict: rules.Passed, Demand: 30, Capability: 100}},
		{Name: "the first division", Subject: "amps", Edits: ruletest.Edits("modes.drive.draw.drive.current_A", "20"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Demand: 30, Capability: 20}},
		{Name: "a peak is not usual", Subject: "amps", Edits: ruletest.Edits("modes.drive.lasts_s", "30"), Want: ruletest.Want{Verdict: rules.Failed, Mode: "charge", Capability: 10}},
		{Name: "the policy's share", Subject: "amps", Edits: ruletest.Edits("policy.meter_readable_percent", "50"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 150}},
		{Name: "no mode to go by", Subject: "amps", Edits: ruletest.Edits("modes.heat", "", "modes.charge", "", "wires.v1", "", "wires.v2", "", "modes.drive.lasts_s", "30"),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a mode without lasts_s"}},
	})
}
