package bms

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestStaysAsleep(t *testing.T) {
	fixture.Play(t, staysAsleep(), []ruletest.Scene{
		{Name: "the charger wakes it", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "the charger waits", Edits: ruletest.Edits("chargers.charger.starts_without_battery", "false"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "behind the contactor", Edits: ruletest.Edits("wires.c4.from", `"drive.pos"`), Want: ruletest.Want{Verdict: rules.Failed, Primary: "charge-path-open/charger", Message: "behind a contact"}},
		{Name: "a button", Edits: ruletest.Edits("batteries.pack.bms.wake", `"button"`, "chargers.charger.starts_without_battery", "false"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "charger not stated", Edits: ruletest.Edits("chargers.charger.starts_without_battery", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "chargers.charger.starts_without_battery"}},
		{Name: "not given", Edits: ruletest.Edits("batteries.pack.bms.wake", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.bms.wake"}},
		{Name: "charged elsewhere", Edits: ruletest.Edits("wires.c4", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a charger that is connected to pack"}},
		{Name: "a pack without transistors", Edits: ruletest.Edits("batteries.pack.bms", "")},
	})
}
