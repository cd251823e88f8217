package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A lamp of 25 W at 13.5 V takes 1.85185 A, and 10 times that, 18.5185 A, when
// cold (relay and switch application notes).
func TestLampInrush(t *testing.T) {
	rule := lampInrush()
	ledHead := ruletest.Edits("loads.dipped_left.kind", `"led"`, "loads.dipped_right.kind", `"led"`, "loads.tail_left.kind", `"led"`,
		"loads.tail_right.kind", `"led"`, "loads.plate.kind", `"led"`)
	with := func(more []rules.Edit) []rules.Edit {
		return append(more, ledHead...)
	}
	fixture.Play(t, rule, []ruletest.Scene{
		// One switch lights 2 x 68 + 2 x 6 + 5 = 153 W, 11.333 A: ten times that
		// and the rest of 283 W, 130 W: 122.96 A. Not all lamps at once, 158.15 A.
		{Name: "the lamps of one switch", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Mode: "sounding", Demand: 122.96, Capability: 26}},
		// LED head and tail lamps: 50 W of stop lamps, ten times 3.7037 A, and
		// 233 W of the rest: 54.296 A.
		{Name: "LED lamps have no inrush", Edits: ledHead, Want: ruletest.Want{Verdict: rules.Failed, Demand: 54.296, Capability: 26}},
		{Name: "all of them LED", Edits: with(ruletest.Edits("loads.stop_left.kind", `"led"`, "loads.stop_right.kind", `"led"`)), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a battery gives the inrush", Edits: auxiliary(nil), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "off the road it is a note", Edits: ruletest.Edits("vehicle.use", `"off-road"`), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
		{Name: "so it is with a constant-current limit", Edits: ruletest.Edits("converters.dcdc.output.at_limit", `"constant-current"`), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note}},
	})
}
