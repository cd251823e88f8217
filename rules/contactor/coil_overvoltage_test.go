package contactor

import (
	"testing"

	"example.org/headroom/rules"
)

// Full, 16 V x 24.09 / 24.15 = 15.96 V reach the coil.
func TestCoilOvervoltage(t *testing.T) {
	rule := coilOvervoltage()
	fleetIsSilent(t, rule)
	runBench(t, rule, []benchCase{
		{
			name: "at 20 C the limit is as stated",
			want: want{verdict: rules.Passed, demand: 15.96, capability: 20, relative: 1e-3},
		},
		{
			name:   "hotter, it falls", // 20 V sqrt((130 - 40) / (130 - 20))
			change: []string{"min: 20, max: 20", "min: 20, max: 40"},
			want:   want{verdict: rules.Passed, capability: 18.091, relative: 1e-4},
		},
		{
			name:   "from the ambient that it is stated for", // 20 V sqrt((130 - 60) / (130 - 40))
			change: []string{"min: 20, max: 20", "min: 20, max: 60", "max_V: 20, resistance", "max_V: 20, max_V_valid_to_C: 40, resistance"},
			want:   want{verdict: rules.Passed, capability: 17.638, relative: 1e-4},
		},
		{
			name:   "not within it",
			change: []string{"min: 20, max: 20", "min: 20, max: 60", "max_V: 20, resistance", "max_V: 20, max_V_valid_to_C: 85, resistance"},
			want:   want{verdict: rules.Passed, capability: 20, relative: 1e-9},
		},
		{
			name:   "nor for an economiser",
			change: []string{"min: 20, max: 20", "min: 20, max: 60", "resistance_Ohm: 24, rise_K: 1", "drive: economiser, pickup_A: 3, hold_A: 0.3"},
			want:   want{verdict: rules.Passed, capability: 20, relative: 1e-9},
		},
		{
			name:   "too much",
			change: []string{"max_V: 20", "max_V: 14"},
			want:   want{verdict: rules.Failed, level: rules.Error, fix: "bears 15.96 V at 20 C"},
		},
		{
			name:   "the charger counts",
			change: []string{"controllers:", "chargers: {ch: {max_V: 18, max_A: 100, isolated: true}}\ncontrollers:", "modes:", "  cp: {from: ch.pos, to: b.pos, size: 35 mm2, length_m: 0.1}\n  cn: {from: ch.neg, to: b.neg, size: 35 mm2, length_m: 0.1}\nmodes:\n  charging: {closed: [key], connected: [ch]}"},
			want:   want{verdict: rules.Passed, demand: 16.95, relative: 2e-3, message: "mode charging"}, // 16 V + 100 A x 10 mOhm, by 0.9976
		},
		{
			name:   "no limit",
			change: []string{"max_V: 20, resistance", "resistance"},
			want:   want{verdict: rules.NotChecked, missing: "contactors.k.coil.max_V"},
		},
		{
			name:   "no mode",
			change: []string{"closed: [key]", "closed: []"},
			want:   want{verdict: rules.NotChecked, missing: "a mode that energises k"},
		},
	})
}
