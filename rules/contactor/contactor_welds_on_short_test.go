package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactorWeldsOnShort(t *testing.T) {
	rule := contactorWeldsOnShort()
	fuse := func(total string) []string {
		return []string{"controllers:", "fuses: {f: {class: aR, rated_A: 100, rated_V_dc: 60, " + total + "opening: {min: [{current_A: 300, s: 1}], max: [{current_A: 400, s: 10}]}}}\ncontrollers:",
			"  main: {from: b.pos, to: k.a,", "  main0: {from: b.pos, to: f.a, size: 35 mm2, length_m: 0.1}\n  main: {from: f.b, to: k.a,"}
	}
	fixture.Play(t, rule, []ruletest.Scene{
		{
			Name:    "the contact withstands more than the fuse lets through", // 200^2 x 60
			Replace: fuse("total_I2t_A2s: 100000, "),
			Want:    ruletest.Want{Verdict: rules.Passed, Level: rules.Note, Demand: 100000, Capability: 2.4e6, Relative: 1e-9},
		},
		{
			Name:    "the shortest rating counts", // 300^2 x 1
			Replace: append([]string{"short_time: [{A: 200, s: 60}]", "short_time: [{A: 200, s: 60}, {A: 300, s: 1}]"}, fuse("total_I2t_A2s: 100000, ")...),
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Capability: 90000, Relative: 1e-9},
		},
		{Name: "no fuse", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a fuse in the circuit of k"}},
		{
			Name:    "no short-time rating",
			Replace: append([]string{"short_time: [{A: 200, s: 60}], ", ""}, fuse("total_I2t_A2s: 100000, ")...),
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.contact.short_time"},
		},
		{
			Name:    "without a stated I2t, the end of the curve counts", // 400^2 x 10
			Replace: fuse(""),
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 1.6e6, Relative: 1e-9},
		},
	})
}
