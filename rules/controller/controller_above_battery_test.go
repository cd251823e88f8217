package controller

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestControllerAboveBattery(t *testing.T) {
	rule := controllerAboveBattery()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the pack can supply it", Subject: "drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 180, Capability: 200}},
		{Name: "the pack can supply less", Subject: "drive", Edits: ruletest.Edits("batteries.pack.peak_A", "170"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 180, Capability: 170, Fix: "to at most 170 A"}},
		{
			// sqrt(150^2 + (200^2 - 150^2) x 30 / 60) = 176.8 A
			Name: "for a shorter time", Subject: "drive", Edits: ruletest.Edits("batteries.pack.peak_s", "30"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 180, Capability: 176.777},
		},
		{Name: "the switch in the pack lets out less", Subject: "drive", Edits: ruletest.Edits("batteries.pack.bms", `{"discharge_A": 150, "peak": {"A": 170, "s": 60}}`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 180, Capability: 170, Fix: "to at most 170 A", Primary: "bms-overloaded/pack"}},
		{Name: "for less time", Subject: "drive", Edits: ruletest.Edits("batteries.pack.bms", `{"discharge_A": 150, "peak": {"A": 190, "s": 30}}`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 180, Capability: 150, Primary: "bms-overloaded/pack"}},
		{Name: "continuously less than the cells", Subject: "drive", Edits: ruletest.Edits("batteries.pack.bms", `{"discharge_A": 110, "peak": {"A": 190, "s": 60}}`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 120, Capability: 110, Primary: "bms-overloaded/pack"}},
		{Name: "the switch lets out more than the cells give", Subject: "drive", Edits: ruletest.Edits("batteries.pack.bms", `{"discharge_A": 250}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 180, Capability: 200}},
		{Name: "the switch says nothing", Subject: "drive", Edits: ruletest.Edits("batteries.pack.bms", `{"charge_A": 50}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 180, Capability: 200}},
		{Name: "the switch lets out less, the cells are not stated", Subject: "drive", Edits: ruletest.Edits("batteries.pack.peak_A", "", "batteries.pack.bms", `{"discharge_A": 130}`),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 180, Capability: 130, Primary: "bms-overloaded/pack"}},
		{Name: "a mode draws it already", Subject: "drive", Edits: ruletest.Edits("batteries.pack.peak_A", "150"),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 150, Primary: "battery-peak-high/pack"}},
		// It draws 160 A for good, which is battery-overloaded's and not a peak.
		{Name: "a mode without an end draws it already", Subject: "drive", Edits: ruletest.Edits("batteries.pack.peak_A", "150", "modes.climb.lasts_s", "", "modes.climb.every_s", ""),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 150}},
		// 180 A and 60 A for as long, of the pack's 200 A.
		{Name: "two controllers at once", Subject: "drive", Edits: twin("60", "60", "0"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 240, Capability: 200, Message: "drive and twin together may draw 240 A by their own limits"}},
		// Of a shorter peak the 30 A that last.
		{Name: "a second controller with a shorter peak", Subject: "drive", Edits: twin("60", "20", "0"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 210}},
		{Name: "two packs together", Subject: "drive", Edits: second(ruletest.Edits("batteries.pack.continuous_A", "100", "batteries.pack.peak_A", "110", "batteries.second.peak_A", "110")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 180, Capability: 220}}, // 110 A each for that time
		{Name: "the weaker of two packs", Subject: "drive",
			Edits: second(ruletest.Edits("batteries.second.continuous_A", "50", "batteries.second.peak_A", "70")...),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 180, Capability: 140, Primary: "battery-peak-high/second"}},
		// For hours, of which no mode says anything.
		{Name: "continuously", Subject: "drive", Edits: ruletest.Edits("batteries.pack.continuous_A", "110", "modes.cruise.draw.drive.current_A", "20"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 120, Capability: 110, Message: "can supply 110 A continuously"}},
		{Name: "no limit stated", Subject: "drive", Edits: ruletest.Edits("controllers.drive.battery_peak_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.battery_peak_A"}},
		{Name: "no peak stated", Subject: "drive", Edits: ruletest.Edits("batteries.pack.peak_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.peak_A"}},
	})
}
