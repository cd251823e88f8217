package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 120 A at 60 C, 105 C at most: in 85 C 120 sqrt(20/45) = 80 A (WF13).
func TestOverloaded(t *testing.T) {
	fixture.Play(t, overloaded(), []ruletest.Scene{
		{Name: "in hot air", Want: ruletest.Want{Verdict: rules.Passed, Demand: 70, Capability: 80}},
		{Name: "a smaller contact", Edits: ruletest.Edits("connectors.plug.contacts", `[{"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 90, "rated_V_dc": 100}, {"carry_A": 5, "rated_V_dc": 100}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 70, Capability: 60, Fix: "at least 71 A"}},
		{Name: "temperature of the rating not given", Edits: ruletest.Edits("connectors.plug.rated_at_C", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.rated_at_C"}},
		{Name: "rated current not given", Edits: ruletest.Edits("connectors.plug.contacts", `[{"rated_V_dc": 100}, {"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 5, "rated_V_dc": 100}]`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.contacts.0.carry_A"}},
		{Name: "a third contact loaded, without a derating", Edits: ruletest.Edits("connectors.plug.pilot", "", "connectors.plug.contacts", `[{"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 2, "rated_V_dc": 100}]`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.derating"}},
		// NFPA 70 table 310.17 at 90 C: 8 AWG (8.4 mm2) 80 A, 2 AWG (33.6 mm2) 190 A, and so about 0.45 for
		// 10 over 35 mm2: 80 A become 36 A.
		{Name: "a thin wire in it", Edits: ruletest.Edits("wires.w6.size", `"10 mm2"`), Want: ruletest.Want{Verdict: rules.Failed, Demand: 70, Capability: 36, Relative: 0.06, Fix: "a wire of 35 mm2"}},
		{Name: "a thick wire in it", Edits: ruletest.Edits("wires.w6.size", `"95 mm2"`), Want: ruletest.Want{Verdict: rules.Passed, Demand: 70, Capability: 80}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}
