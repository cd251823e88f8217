package catalogue_test

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
)

// One mistake that spoils a whole circuit is one finding, from which the rest
// follows; what is wrong beside it keeps standing by itself.
func TestOneMistakeIsOneFinding(t *testing.T) {
	swap := func(wires map[string]string) (edits []rules.Edit) {
		for path, terminal := range wires {
			edits = append(edits, rules.Edit{Path: "wires." + path, Value: `"` + terminal + `"`})
		}
		return edits
	}
	sound := func(name string) string { return filepath.Join("..", "..", "testdata", "sound", name+".yaml") }
	fleet := func(name string) string { return filepath.Join(ruletest.Fleet(), name) }
	for _, tc := range []struct {
		name, vehicle, cause string
		edits                []rules.Edit
		follows              []string // some of what must follow
		stands               []string // what must stand by itself
	}{
		{
			name: "a battery the wrong way round in a string", vehicle: sound("series-string"), cause: "polarity-reversed/b2",
			edits:  append(swap(map[string]string{"l1.to": "b2.neg", "l2.from": "b2.pos"}), rules.Edit{Path: "fuses.key_fuse.rated_A", Value: "0.2"}),
			stands: []string{"fuse-overloaded/key_fuse"},
		},
		{
			name: "all of a string the wrong way round", vehicle: sound("shared-negative"), cause: "polarity-reversed/aux",
			edits: swap(map[string]string{"a1.from": "aux.neg", "a4.from": "aux.pos"}),
		},
		{
			name: "a battery alone the wrong way round", vehicle: sound("gg-main-fuse"), cause: "polarity-reversed/pack",
			edits:   swap(map[string]string{"w1.from": "pack.neg", "w5.to": "pack.pos"}),
			follows: []string{"polarity-reversed/drive", "polarity-reversed/main_contactor"},
		},
		{
			name: "one of two packs the wrong way round", vehicle: sound("parallel-packs"), cause: "polarity-reversed/pack2",
			edits: swap(map[string]string{"w20.from": "pack2.neg", "w22.from": "pack2.pos"}),
		},
		{
			name: "a coil for another voltage", vehicle: sound("series-string"), cause: "coil-nominal-mismatch/main_contactor",
			edits: []rules.Edit{
				{Path: "contactors.main_contactor.coil.nominal_V", Value: "12"}, {Path: "contactors.main_contactor.coil.operate_V", Value: "8"},
				{Path: "contactors.main_contactor.coil.release_V", Value: "1.2"}, {Path: "contactors.main_contactor.coil.max_V", Value: "16"},
				{Path: "contactors.main_contactor.coil.resistance_Ohm", Value: "9"},
			},
			follows: []string{"coil-overvoltage/main_contactor", "fuse-overloaded/key_fuse"},
		},
		{
			name: "a charger for more cells", vehicle: fleet("mole"), cause: "charger-voltage-high/charger",
			edits: []rules.Edit{{Path: "chargers.charger.max_V", Value: "95"}},
		},
		{
			name: "a charger for more cells", vehicle: fleet("heron"), cause: "charger-voltage-high/charger",
			edits: []rules.Edit{{Path: "chargers.charger.max_V", Value: "140"}},
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			results := ruletest.Run(t, ruletest.Changed(t, tc.vehicle, tc.edits...), catalogue.All())
			byKey := map[string]rules.Result{}
			for _, r := range results {
				if old, ok := byKey[r.Key()]; !ok || !old.IsFinding() {
					byKey[r.Key()] = r
				}
			}
			stands := map[string]bool{tc.cause: true}
			for _, key := range tc.stands {
				stands[key] = true
			}
			for _, r := range results {
				head := r
				for head.Primary != "" {
					head = byKey[head.Primary]
				}
				switch {
				case !r.IsFinding() || r.Level == rules.Note:
				case stands[r.Key()] && r.Primary != "":
					t.Errorf("%s follows from %s", r.Key(), r.Primary)
				case !stands[r.Key()] && head.Key() != tc.cause && !stands[head.Key()]:
					t.Errorf("%s stands by itself (%s): %s", r.Key(), head.Key(), r.Message)
				}
			}
			for _, key := range append(tc.follows, append(tc.stands, tc.cause)...) {
				if !byKey[key].IsFinding() {
					t.Errorf("%s is not found", key)
				}
			}
		})
	}
}
