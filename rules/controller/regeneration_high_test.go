package controller

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestRegenerationHigh(t *testing.T) {
	rule := regenerationHigh()
	regen := func(a string) []rules.Edit { return ruletest.Edits("controllers.drive.regen_A", a) }
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the pack takes it", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 40, Capability: 50}},
		{Name: "four times the charging limit", Subject: "drive", Edits: regen("200"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 200, Capability: 50, Fix: "at most 50 A"}},
		{Name: "the switch in the pack lets in less", Subject: "drive", Edits: ruletest.Edits("batteries.pack.bms", `{"charge_A": 30}`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 40, Capability: 30, Fix: "at most 30 A", Primary: "bms-overloaded/pack"}},
		{Name: "the switch lets in more", Subject: "drive", Edits: ruletest.Edits("batteries.pack.bms", `{"charge_A": 60}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 40, Capability: 50}},
		{Name: "a mode feeds back more than the controller's figure", Subject: "drive", Edits: ruletest.Edits("modes.brake.draw.drive.regen_A", "70"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 70}},
		{Name: "two packs", Subject: "drive", Edits: second(regen("90")...), Want: ruletest.Want{Verdict: rules.Passed, Demand: 90, Capability: 100}},
		{Name: "two packs of which one takes little", Subject: "drive", Edits: second(append(regen("90"), ruletest.Edits("batteries.second.charge_max_A", "20")...)...),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 40}},
		{Name: "two controllers brake at once", Subject: "drive", Edits: twin("60", "60", "20"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Capability: 50, Message: "drive and twin together feed back up to 60 A", Fix: "drive and twin together to at most 50 A"}},
		{Name: "and make one finding", Subject: "twin", Edits: twin("60", "60", "20"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 60, Primary: "regeneration-high/drive"}},
		{Name: "two controllers within the limit", Subject: "drive", Edits: twin("60", "60", "10"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 50}},
		// 20 s of every 600 s.
		{Name: "a short peak that the pack takes", Subject: "drive", Edits: append(regen("200"), ruletest.Edits("batteries.pack.charge_peak_A", "220", "batteries.pack.charge_peak_s", "20")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 200, Capability: 220}},
		{Name: "a peak for a shorter time", Subject: "drive", Edits: append(regen("200"), ruletest.Edits("batteries.pack.charge_peak_A", "220", "batteries.pack.charge_peak_s", "10")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 200, Capability: 50}},
		{Name: "a peak too often", Subject: "drive", Edits: append(regen("200"), ruletest.Edits("batteries.pack.charge_peak_A", "220", "batteries.pack.charge_peak_s", "20", "modes.brake.every_s", "60")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 200, Capability: 150}},
		{Name: "a mode that brakes without end", Subject: "drive", Edits: append(regen("200"), ruletest.Edits("batteries.pack.charge_peak_A", "220", "batteries.pack.charge_peak_s", "20", "modes.brake.lasts_s", "", "modes.brake.every_s", "")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 200, Capability: 50}},
		{Name: "no regeneration", Subject: "drive", Edits: ruletest.Edits("controllers.drive.regen_A", "", "modes.brake", "", "batteries.pack.charge_max_A", ""),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "charging limit not stated", Subject: "drive", Edits: ruletest.Edits("batteries.pack.charge_max_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.charge_max_A"}},
	})
}
