package contactor

import (
	"testing"

	"example.org/headroom/rules"
)

func TestContactorBreakLow(t *testing.T) {
	rule := contactorBreakLow()
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{name: "within", want: want{verdict: rules.Passed, demand: 50, capability: 400, relative: 1e-6, message: "50 times in its life"}},
		{name: "above", change: []string{"A: 400, operations", "A: 40, operations"}, want: want{verdict: rules.Failed, level: rules.Error, fix: "50 A at 16 V DC"}},
		{
			name:   "regeneration that no mode declares",
			change: []string{"battery_peak_A: 150", "battery_peak_A: 150, regen_A: 220", "break: [{V: 16, A: 400, operations: 50}]", "break: [{V: 20, A: 200}]"},
			want:   want{verdict: rules.Failed, demand: 220, capability: 200, relative: 1e-9, message: "brakes"},
		},
		{
			name:   "a rating at a lower voltage says nothing",
			change: []string{"break: [{V: 16,", "break: [{V: 12,"},
			want:   want{verdict: rules.Failed, message: "no break rating at the 16 V"},
		},
		{
			name:   "which is because the contact is made for less",
			change: []string{"break: [{V: 16,", "break: [{V: 12,", "    contact: {carry_A: 100, rated_V_dc: 60", "    contact: {carry_A: 100, rated_V_dc: 12"},
			want:   want{verdict: rules.Failed, primary: "contact-voltage-low/k"},
		},
		{
			name:   "the rating that covers the voltage counts",
			change: []string{"break: [{V: 16, A: 400, operations: 50}]", "break: [{V: 12, A: 400}, {V: 24, A: 60}, {V: 48, A: 20}]"},
			want:   want{verdict: rules.Passed, capability: 60, relative: 1e-9},
		},
		{
			name:   "of a polarized one the forward current alone",
			change: []string{"make_A", "polarized: true, reverse_break_A: 10, make_A", "current_A: 50", "regen_A: 60", "A: 400, operations", "A: 20, operations"},
			want:   want{verdict: rules.Passed},
		},
		{name: "no rating", change: []string{", break: [{V: 16, A: 400, operations: 50}]", ""}, want: want{verdict: rules.NotChecked, missing: "contactors.k.contact.break"}},
	})
}
