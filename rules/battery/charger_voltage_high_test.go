package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestChargerVoltageHigh(t *testing.T) {
	rule := chargerVoltageHigh()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "ends where the pack does", Subject: "charger", Want: ruletest.Want{Verdict: rules.Passed, Demand: 54, Capability: 54}},
		{Name: "goes on", Subject: "charger", Edits: ruletest.Edits("chargers.charger.max_V", "58.4"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 58.4, Capability: 54, Fix: "54 V"}},
		{Name: "of a string the sum", Subject: "charger", Edits: series(ruletest.Edits("chargers.charger.max_V", "68")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 68, Capability: 68}},
		{Name: "of packs in parallel the lowest", Subject: "charger", Edits: second(ruletest.Edits("batteries.second.max_V", "53")...),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 53}},
		{Name: "behind a diode", Subject: "charger", Edits: append(diode(), ruletest.Edits("chargers.charger.max_V", "60")...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Capability: 54}},
		{Name: "joined to no battery", Subject: "charger", Edits: ruletest.Edits("studs.lone", "{}", "wires.w7.from", `"lone.stud"`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a battery that charger charges"}},
		{Name: "a spare", Subject: "charger", Edits: ruletest.Edits("chargers.charger.spare", "true")},
	})
}
