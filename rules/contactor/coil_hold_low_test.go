package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Empty and at 50.4 A: 10 V - 50.4 A x 10 mOhm = 9.496 V, of which the coil has
// 24.09 / 24.14.
func TestCoilHoldLow(t *testing.T) {
	rule := coilHoldLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{
			Name: "far above 0.6 of the operate voltage", // 0.6 x 6.525 V
			Want: ruletest.Want{Verdict: rules.Passed, Level: rules.Warning, Demand: 3.915, Capability: 9.477, Relative: 1e-3},
		},
		{
			Name:    "a stated hold voltage is an error", // 9.6 V x 1.0039
			Replace: []string{"max_V: 20", "hold_V: 9.6, max_V: 20", "operate_V: 6.5", "operate_V: 9.6"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 9.637, Capability: 9.477, Relative: 1e-3},
		},
		{
			Name:    "of an economiser it is not scaled",
			Replace: []string{"max_V: 20", "hold_V: 5, max_V: 20", "resistance_Ohm: 24, rise_K: 1", "drive: economiser, pickup_A: 3, hold_A: 0.3"},
			Want:    ruletest.Want{Verdict: rules.Passed, Demand: 5, Relative: 1e-9},
		},
		{
			// 10 V / (1 + 200 mOhm x 50 A / 6 V) = 3.75 V: the controller's draw falls
			// in proportion below its 6 V.
			Name:    "without one never more than a warning",
			Replace: []string{"min: 10, typ: 10, max: 10", "typ: 200"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Warning},
		},
		{
			Name:    "half the operate voltage while climbing is no alarm", // 10 / (1 + 0.1 x 50 / 6) = 5.45 V
			Replace: []string{"min: 10, typ: 10, max: 10", "typ: 100"},
			Want:    ruletest.Want{Verdict: rules.Passed},
		},
		{
			Name:    "follows from a coil that does not even pull in",
			Replace: []string{"nominal_V: 12, operate_V: 6.5", "nominal_V: 24, operate_V: 18", "max_V: 20", "max_V: 28"},
			Want:    ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Primary: "coil-nominal-mismatch/k"},
		},
		{
			Name:    "neither hold nor operate voltage",
			Replace: []string{"operate_V: 6.5, ", ""},
			Want:    ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k.coil.hold_V"},
		},
	})
}
