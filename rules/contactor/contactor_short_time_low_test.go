package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactorShortTimeLow(t *testing.T) {
	rule := contactorShortTimeLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{
			Name: "the controller's peak is within its rating", // 150 A for 30 s, of 200 A for 60 s
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 150, Capability: 200, Relative: 1e-9},
		},
		{
			Name:    "above the rating for its time",
			Replace: []string{"short_time: [{A: 200, s: 60}]", "short_time: [{A: 120, s: 60}, {A: 140, s: 30}]"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 150, Capability: 140, Relative: 1e-9, Fix: "150 A for 30 s"},
		},
		{
			Name:    "what the controller feeds back, whether or not a mode says so",
			Replace: []string{"battery_peak_A: 150", "battery_peak_A: 150, regen_A: 220", "short_time: [{A: 200, s: 60}]", "short_time: [{A: 200, s: 30}]"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 220, Capability: 200, Relative: 1e-9, Message: "the regeneration of"},
		},
		{
			Name:    "longer than any rating: what it carries continuously",
			Replace: []string{"modes:", climbing, "lasts_s: 60", "lasts_s: 90"},
			Want:    ruletest.Want{Verdict: rules.Failed, Demand: 150, Capability: 100, Relative: 1e-6},
		},
		{
			// Two steps in a row: 150 A for 45 s and again 45 s, each within 200 A for 60 s,
			// are 90 s together, for which it is rated no more than continuously.
			Name:    "steps of the cycle that follow each other",
			Replace: []string{"modes:", "cycle: [{mode: climb, for_s: 45}, {mode: climb, for_s: 45}, {mode: drive, for_s: 900}]\n" + climbing},
			Want:    ruletest.Want{Verdict: rules.Failed, Demand: 150, Capability: 100, Relative: 1e-6, Message: "follow each other"},
		},
		{
			Name:    "steps with a rest between",
			Replace: []string{"modes:", "cycle: [{mode: climb, for_s: 45}, {mode: drive, for_s: 900}, {mode: climb, for_s: 45}, {mode: drive, for_s: 900}]\n" + climbing},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 150, Capability: 200, Relative: 1e-6},
		},
		{
			Name:    "no rating is not made up",
			Replace: []string{"short_time: [{A: 200, s: 60}], ", ""},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.contact.short_time"},
		},
		{
			Name:    "nor a point at a shorter time",
			Replace: []string{"short_time: [{A: 200, s: 60}]", "short_time: [{A: 140, s: 60}]"},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.contact.short_time"},
		},
		{
			Name:    "a peak of unknown duration",
			Replace: []string{"peak_s: 30, ", ""},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.c.peak_s"},
		},
		{
			Name:    "no peak above what it carries continuously",
			Replace: []string{"carry_A: 100", "carry_A: 160", "short_time: [{A: 200, s: 60}], ", ""},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 150, Capability: 160, Relative: 1e-9},
		},
	})
}
