package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestVoltageLow(t *testing.T) {
	fixture.Play(t, voltageLow(), []ruletest.Scene{
		{Name: "above the pack", Want: ruletest.Want{Verdict: rules.Passed, Demand: 84, Capability: 100}},
		{Name: "one contact for less", Edits: ruletest.Edits("connectors.plug.contacts", `[{"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 120, "rated_V_dc": 80}, {"carry_A": 5, "rated_V_dc": 100}]`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 84, Capability: 80}},
		{Name: "not given", Edits: ruletest.Edits("connectors.plug.contacts", `[{"carry_A": 120}, {"carry_A": 120, "rated_V_dc": 100}, {"carry_A": 5, "rated_V_dc": 100}]`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.contacts.0.rated_V_dc"}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}

// Between two phases stands the whole voltage of the pack.
func TestVoltageInPhase(t *testing.T) {
	results := ruletest.On(t, voltageLow(), "mole", ruletest.Edits("connectors.joint", `{"use": "harness", "contacts": [{"carry_A": 40, "rated_V_dc": 30}], "max_C": 105, "rated_at_C": 60, "lock": "latch"}`, "wires.w_phase_u.to", `"joint.a1"`, "wires.w_far", `{"from": "joint.b1", "to": "motor.u", "size": "70 mm2", "length_m": 0.3, "insulation": {"max_C": 105, "rated_V": 600}}`)...)
	ruletest.Expect(t, results, "joint", ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 58.4, Capability: 30, Relative: 0.05})
}
