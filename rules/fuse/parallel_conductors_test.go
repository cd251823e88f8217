package fuse

import (
	"math"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Two identical parallel cables share the current: each has to carry half of the
// 125 A of the fuse (IEC 60364-4-43, 433.4.1). A longer or thinner one in
// parallel does not count.
func TestParallelConductors(t *testing.T) {
	const id, twin = "w_contactor_drive", "w_twin"
	beside := func(size, length string) []rules.Edit {
		return ruletest.Edits(
			"wires."+id+".size", `"20 mm2"`,
			"wires."+twin, `{"from": "main_contactor.b", "to": "drive.pos", "size": "`+size+`", "length_m": `+length+`, "insulation": {"max_C": 105, "rated_V": 600}}`,
		)
	}
	length := ruletest.Load(t, ruletest.Fleet()+"/heron").Wires[id].LengthM
	for _, tc := range []struct {
		name   string
		edits  []rules.Edit
		passes bool
		demand float64
	}{
		{"one by itself", beside("20 mm2", "5")[:1], false, 125},
		{"two alike", beside("20 mm2", rules.Figure(length)), true, 62.5},
		{"a longer one beside it", beside("20 mm2", rules.Figure(1.5*length)), false, 125},
		{"a thinner one beside it", beside("10 mm2", rules.Figure(length)), false, 125},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := ruletest.On(t, aboveAmpacity(), "heron", tc.edits...)[id]
			if (r.Verdict == rules.Passed) != tc.passes || math.Abs(r.Demand.Value-tc.demand) > 0.01 {
				t.Errorf("%s, demand %.4g, want %.4g: %s", r.Verdict, r.Demand.Value, tc.demand, r.Message)
			}
			if race := ruletest.On(t, slowerThanDamage(), "heron", tc.edits...)[id]; tc.passes && race.IsFinding() {
				t.Errorf("%s", race.Message)
			}
		})
	}
}
