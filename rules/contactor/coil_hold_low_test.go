package contactor

import (
	"testing"

	"example.org/headroom/rules"
)

// Empty and at 50.4 A: 10 V - 50.4 A x 10 mOhm = 9.496 V, of which the coil gets
// 24.09 / 24.14.
func TestCoilHoldLow(t *testing.T) {
	rule := coilHoldLow()
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{
			name: "far above 0.6 of the operate voltage", // 0.6 x 6.525 V
			want: want{verdict: rules.Passed, level: rules.Warning, demand: 3.915, capability: 9.477, relative: 1e-3},
		},
		{
			name:   "a stated hold voltage is an error", // 9.6 V x 1.0039
			change: []string{"max_V: 20", "hold_V: 9.6, max_V: 20", "operate_V: 6.5", "operate_V: 9.6"},
			want:   want{verdict: rules.Failed, level: rules.Error, demand: 9.637, capability: 9.477, relative: 1e-3},
		},
		{
			name:   "of an economiser it is not scaled",
			change: []string{"max_V: 20", "hold_V: 5, max_V: 20", "resistance_Ohm: 24, rise_K: 1", "drive: economiser, pickup_A: 3, hold_A: 0.3"},
			want:   want{verdict: rules.Passed, demand: 5, relative: 1e-9},
		},
		{
			// 10 V / (1 + 200 mOhm x 50 A / 6 V) = 3.75 V: the controller's draw falls
			// in proportion below its 6 V.
			name:   "without one never more than a warning",
			change: []string{"min: 10, typ: 10, max: 10", "typ: 200"},
			want:   want{verdict: rules.Failed, level: rules.Warning},
		},
		{
			name:   "half the operate voltage while climbing is no alarm", // 10 / (1 + 0.1 x 50 / 6) = 5.45 V
			change: []string{"min: 10, typ: 10, max: 10", "typ: 100"},
			want:   want{verdict: rules.Passed},
		},
		{
			name:   "follows from a coil that does not even pull in",
			change: []string{"nominal_V: 12, operate_V: 6.5", "nominal_V: 24, operate_V: 18", "max_V: 20", "max_V: 28"},
			want:   want{verdict: rules.Failed, level: rules.Warning, primary: "coil-nominal-mismatch/k"},
		},
		{
			name:   "neither hold nor operate voltage",
			change: []string{"operate_V: 6.5, ", ""},
			want:   want{verdict: rules.NotChecked, missing: "contactors.k.coil.hold_V"},
		},
	})
}
