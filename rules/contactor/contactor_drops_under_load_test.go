package contactor

import (
	"testing"

	"example.org/headroom/rules"
)

func TestContactorDropsUnderLoad(t *testing.T) {
	rule := contactorDropsUnderLoad()
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{name: "within", want: want{verdict: rules.Passed, level: rules.Warning, demand: 150, capability: 400, relative: 1e-9}},
		{
			name:   "the modes are within, the peak is not",
			change: []string{"A: 400, operations", "A: 100, operations"},
			want:   want{verdict: rules.Failed, level: rules.Warning, demand: 150, capability: 100, relative: 1e-9, fix: "150 A at 16 V DC"},
		},
		{
			name:   "follows from a mode that is not",
			change: []string{"A: 400, operations", "A: 40, operations"},
			want:   want{verdict: rules.Failed, primary: "contactor-break-low/k"},
		},
		{
			name:   "driven backwards through a polarized contact",
			change: []string{"to: k.a,", "to: k.b,", "load: {from: k.b,", "load: {from: k.a,", "make_A", "polarized: true, reverse_break_A: 60, make_A"},
			want:   want{verdict: rules.Failed, demand: 150, capability: 60, relative: 1e-9, primary: "contactor-break-reverse-low/k"},
		},
		{name: "unknown peak", change: []string{"battery_peak_A: 150, peak_s: 30, ", ""}, want: want{verdict: rules.NotChecked, missing: "controllers.c.battery_peak_A"}},
	})
}
