package contactor

import (
	"testing"

	"example.org/headroom/rules"
)

func TestContactorWeldsOnShort(t *testing.T) {
	rule := contactorWeldsOnShort()
	fleetIsSilent(t, rule)
	fuse := func(total string) []string {
		return []string{"controllers:", "fuses: {f: {class: aR, rated_A: 100, rated_V_dc: 60, " + total + "opening: {min: [{current_A: 300, s: 1}], max: [{current_A: 400, s: 10}]}}}\ncontrollers:",
			"  main: {from: b.pos, to: k.a,", "  main0: {from: b.pos, to: f.a, size: 35 mm2, length_m: 0.1}\n  main: {from: f.b, to: k.a,"}
	}
	runBench(t, rule, []benchCase{
		{
			name:   "the contact bears more than the fuse lets through", // 200^2 x 60
			change: fuse("total_I2t_A2s: 100000, "),
			want:   want{verdict: rules.Passed, level: rules.Note, demand: 100000, capability: 2.4e6, relative: 1e-9},
		},
		{
			name:   "the shortest rating counts", // 300^2 x 1
			change: append([]string{"short_time: [{A: 200, s: 60}]", "short_time: [{A: 200, s: 60}, {A: 300, s: 1}]"}, fuse("total_I2t_A2s: 100000, ")...),
			want:   want{verdict: rules.Failed, level: rules.Note, capability: 90000, relative: 1e-9},
		},
		{name: "no fuse", want: want{verdict: rules.NotChecked, missing: "a fuse in the circuit of k"}},
		{
			name:   "no short-time rating",
			change: append([]string{"short_time: [{A: 200, s: 60}], ", ""}, fuse("total_I2t_A2s: 100000, ")...),
			want:   want{verdict: rules.NotChecked, missing: "contactors.k.contact.short_time"},
		},
		{
			name:   "without a stated I2t, the end of the curve counts", // 400^2 x 10
			change: fuse(""),
			want:   want{verdict: rules.Passed, demand: 1.6e6, relative: 1e-9},
		},
	})
}
