package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 1/2 x 4700 uF x (96 V)^2 = 21.66 J.
func TestPlugInrushHigh(t *testing.T) {
	plug := []string{"{role: traction,", "{role: traction, pluggable: true,"}
	// The cable of the contactor is on the pack's side of it, and that of the disconnect too.
	direct := []string{"load: {from: k.b, to: c.pos,", "load: {from: b.pos, to: c.pos,"}
	fixture.Play(t, plugInrushHigh(), []ruletest.Scene{
		{Name: "bolted", Subject: "b", Replace: direct},
		{Name: "behind disconnect and contactor", Subject: "b", Replace: plug, Want: ruletest.Want{Verdict: rules.Passed, Message: "behind an open contact"}},
		{Name: "nothing but the plug", Subject: "b", Replace: join(plug, direct),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 21.6576, Capability: 0.1, Message: "empty capacitors of c with a first peak of"}},
		{Name: "the plug of the controller", Subject: "b", Replace: join(direct, []string{"capacitance_uF: 4700", "capacitance_uF: 4700, pluggable: true"}),
			Want: ruletest.Want{Verdict: rules.Failed}},
		{Name: "a few microfarads", Subject: "b", Replace: join(plug, direct, []string{"capacitance_uF: 4700", "capacitance_uF: 20"}),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.09216}},
		{Name: "a controller with its own pre-charge", Subject: "b", Replace: join(plug, direct, []string{"capacitance_uF: 4700", "capacitance_uF: 4700, internal_precharge: true"}),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "not known how much", Subject: "b", Replace: join(plug, direct, []string{", capacitance_uF: 4700", ""}),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.c.capacitance_uF"}},
	})
}
