package wiring

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// A battery in reverse polarity is named itself, in a string, on a network of
// its own and where networks share their negative; a reversed consumer is not
// taken for one.
func TestBatteryReversed(t *testing.T) {
	swap := func(wires map[string]string) (edits []rules.Edit) {
		for path, terminal := range wires {
			edits = append(edits, ruletest.Edits("wires."+path, `"`+terminal+`"`)...)
		}
		return edits
	}
	for _, tc := range []struct {
		name, vehicle, subject string
		edits                  []rules.Edit
		want                   rules.Verdict
	}{
		{"one in the middle of a string", "series-string", "b2", swap(map[string]string{"l1.to": "b2.neg", "l2.from": "b2.pos"}), rules.Failed},
		{"its neighbours", "series-string", "b3", swap(map[string]string{"l1.to": "b2.neg", "l2.from": "b2.pos"}), rules.Passed},
		{"one at the end of a string", "series-string", "b4", swap(map[string]string{"l3.to": "b4.neg", "w5.to": "b4.pos"}), rules.Failed},
		{"one at the top of a string", "series-string", "b1",
			append(swap(map[string]string{"w1.from": "b1.neg", "l1.from": "b1.pos"}), ruletest.Edits("contactors.main_contactor.coil.suppression", `"tvs"`)...), rules.Failed},
		{"the one below it", "series-string", "b2", swap(map[string]string{"w1.from": "b1.neg", "l1.from": "b1.pos"}), rules.Passed},
		{"two neighbours in the middle, the upper", "series-string", "b2", swap(map[string]string{"l1.to": "b3.neg", "l3.from": "b2.pos"}), rules.Failed},
		{"two neighbours in the middle, the lower", "series-string", "b3", swap(map[string]string{"l1.to": "b3.neg", "l3.from": "b2.pos"}), rules.Failed},
		{"the one above two", "series-string", "b1", swap(map[string]string{"l1.to": "b3.neg", "l3.from": "b2.pos"}), rules.Passed},
		{"the one below two", "series-string", "b4", swap(map[string]string{"l1.to": "b3.neg", "l3.from": "b2.pos"}), rules.Passed},
		{"two at the top of a string, the upper", "series-string", "b1", swap(map[string]string{"w1.from": "b2.neg", "l2.from": "b1.pos"}), rules.Failed},
		{"two at the top of a string, the lower", "series-string", "b2", swap(map[string]string{"w1.from": "b2.neg", "l2.from": "b1.pos"}), rules.Failed},
		{"the ones below two", "series-string", "b3", swap(map[string]string{"w1.from": "b2.neg", "l2.from": "b1.pos"}), rules.Passed},
		{"on a network that shares its negative", "shared-negative", "aux", swap(map[string]string{"a1.from": "aux.neg", "a4.from": "aux.pos"}), rules.Failed},
		{"alone, with a drive and a coil that has a polarity", "gg-main-fuse", "pack", swap(map[string]string{"w1.from": "pack.neg", "w5.to": "pack.pos"}), rules.Failed},
		{"sound", "shared-negative", "aux", nil, rules.Passed},
		{"a reversed consumer", "series-string", "b1", swap(map[string]string{"w4.to": "drive.neg", "w5.from": "drive.pos", "w12.to": "drive.pos"}), rules.Passed},
	} {
		t.Run(tc.name, func(t *testing.T) {
			spec := ruletest.Changed(t, filepath.Join("..", "..", "testdata", "sound", tc.vehicle+".yaml"), tc.edits...)
			results := map[string]rules.Result{}
			for _, r := range ruletest.Run(t, spec, []*rules.Rule{polarityReversed()}) {
				results[r.Subject] = r
			}
			ruletest.Verdict(t, results, tc.subject, tc.want)
		})
	}
}
