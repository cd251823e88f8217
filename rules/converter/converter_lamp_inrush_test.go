package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A lamp of 25 W at 13.5 V takes 1.85185 A, and 10 times that, 18.5185 A, when
// cold (relay and switch application notes).
func TestLampInrush(t *testing.T) {
	rule := lampInrush()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	ledHead := edits{"loads.dipped_left.kind": `"led"`, "loads.dipped_right.kind": `"led"`, "loads.tail_left.kind": `"led"`,
		"loads.tail_right.kind": `"led"`, "loads.plate.kind": `"led"`}
	with := func(more edits) edits {
		for k, v := range ledHead {
			more[k] = v
		}
		return more
	}
	play(t, rule, []scene{
		// One switch lights 2 x 68 + 2 x 6 + 5 = 153 W, 11.333 A: ten times that
		// and the rest of 283 W, 130 W: 122.96 A. Not all lamps at once, 158.15 A.
		{"the lamps of one switch", nil, "", outcome{verdict: rules.Failed, level: rules.Warning, mode: "sounding", demand: 122.96, capability: 26}},
		// LED head and tail lamps: 50 W of stop lamps, ten times 3.7037 A, and
		// 233 W of the rest: 54.296 A.
		{"LED lamps have no inrush", with(edits{}), "", outcome{verdict: rules.Failed, demand: 54.296, capability: 26}},
		{"all of them LED", with(edits{"loads.stop_left.kind": `"led"`, "loads.stop_right.kind": `"led"`}), "", outcome{verdict: rules.Passed}},
		{"a battery gives the inrush", auxiliary(nil), "", outcome{verdict: rules.Passed}},
		{"off the road it is a note", edits{"vehicle.use": `"off-road"`}, "", outcome{verdict: rules.Failed, level: rules.Note}},
		{"so it is with a constant-current limit", edits{"converters.dcdc.output.at_limit": `"constant-current"`}, "", outcome{verdict: rules.Failed, level: rules.Note}},
	})
}
