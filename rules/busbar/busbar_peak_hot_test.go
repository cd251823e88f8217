package busbar

import (
	"math"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBusbarPeakHot(t *testing.T) {
	peak := func(s string) []rules.Edit {
		return ruletest.Edits("modes", hill, "cycle", `[{"mode": "hill", "for_s": `+s+`}, {"mode": "roll", "for_s": 3600}]`)
	}
	// An hour at 100 A leaves the bar 50 (100 / (426.7 sqrt(1.2751 / 1.098)))^(1/0.61)
	// = 4.1 K above the air. From there 700 A heat 125 mm2 of copper, IEC 60949, with
	// 700^2 / (58 * 125) (1 + 0.00393 * 27) = 74.7 W/m, of which some 2.5 W/m go to the
	// air, so by (74.7 - 2.5) / (3.45 * 125) = 0.1674 K/s.
	begin := 50 * math.Pow(100/426.7/math.Sqrt(1.2751/1.098), 1/0.61)
	fixture.Play(t, busbarPeakHot(), []ruletest.Scene{
		{Name: "half a minute", Subject: "bar", Edits: peak("30"),
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "hill", Demand: begin + 30*0.1674, Capability: 50, Relative: 0.01}},
		{Name: "twenty minutes", Subject: "bar", Edits: peak("1200"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Mode: "hill"}},
		{Name: "no peaks", Subject: "bar"},
	})
}
