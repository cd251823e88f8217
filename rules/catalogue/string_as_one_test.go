package catalogue_test

import (
	"maps"
	"path/filepath"
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// halved makes two batteries in series of each traction battery: half the
// voltages, resistance and cells each, joined by a short thick strap. To all that
// hangs on them nothing has changed.
func halved(tree map[string]any) {
	batteries, _ := tree["batteries"].(map[string]any)
	wires, _ := tree["wires"].(map[string]any)
	for _, id := range slices.Sorted(maps.Keys(batteries)) {
		upper, _ := batteries[id].(map[string]any)
		if upper["role"] != "traction" {
			continue
		}
		for _, field := range []string{"min_V", "nominal_V", "max_V", "resistance_mOhm"} {
			switch v := upper[field].(type) {
			case float64:
				upper[field] = v / 2
			case map[string]any:
				for bound, ohm := range v {
					v[bound] = ohm.(float64) / 2
				}
			}
		}
		if bms, ok := upper["bms"].(map[string]any); ok {
			bms = maps.Clone(bms)
			for _, field := range []string{"low_V", "reconnect_V"} {
				if v, ok := bms[field].(float64); ok {
					bms[field] = v / 2
				}
			}
			upper["bms"] = bms
		}
		if n, ok := upper["series"].(float64); ok && int(n)%2 == 0 {
			upper["series"] = n / 2
		} else {
			delete(upper, "series")
		}
		batteries[id+lowerHalf] = maps.Clone(upper)
		for _, kind := range []string{"wires", "busbars"} {
			all, _ := tree[kind].(map[string]any)
			for _, c := range all {
				for _, end := range []string{"from", "to"} {
					if c := c.(map[string]any); c[end] == id+".neg" {
						c[end] = id + lowerHalf + ".neg"
					}
				}
			}
		}
		wires["strap_"+id] = map[string]any{"from": id + lowerHalf + ".pos", "to": id + ".neg", "size": "120 mm2", "length_m": 0.01,
			"colour": "orange", "insulation": map[string]any{"max_C": 105.0, "rated_V": 1000.0}}
	}
}

const lowerHalf = "_lower"

// soundPaths lists the vehicles in which nothing is wrong.
func soundPaths(t *testing.T) []string {
	t.Helper()
	var paths []string
	for _, path := range []string{filepath.Join(ruletest.Fleet(), "..", "sound"), ruletest.Fleet() + "/..."} {
		targets, err := schema.Find([]string{path}, schema.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, target := range targets {
			paths = append(paths, target.Path)
		}
	}
	return paths
}

// What is said of a part does not depend on whether its battery is one or two in
// series: sound vehicles stay sound, and nothing goes unchecked that was checked.
func TestSoundWithHalvedBatteries(t *testing.T) {
	for _, path := range soundPaths(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			t.Parallel()
			source := sourceOf(t, path)
			known, unchecked := map[string]bool{}, map[string]bool{}
			for _, r := range soundResults(t, path) {
				known[r.Rule] = true
				if r.Verdict == rules.NotChecked {
					unchecked[r.Key()], unchecked[r.Key()+lowerHalf] = true, true
				}
			}
			for _, r := range ruletest.Run(t, specOf(t, changedSource(t, source, halved)), catalogue.All()) {
				switch {
				case r.IsFinding() && r.Level != rules.Note:
					t.Errorf("%s: %s [%s]", r.Level, r.Message, r.Rule)
				case r.Verdict == rules.NotChecked && known[r.Rule] && !unchecked[r.Key()]:
					t.Errorf("no longer checked: %s of %s needs %s", r.Rule, r.Subject, r.Missing)
				}
			}
		})
	}
}

// missedHalved says what a rule says of a mutant with two batteries in series in
// place of each; "" if it finds the fault as before.
func (s *seeding) missedHalved(t *testing.T, m *mutant, source []byte, rule *rules.Rule) string {
	t.Helper()
	if m.rule == "battery-cells-mismatch" && int(m.spec.Number("batteries."+m.subject+".series", 0))%2 == 1 {
		return "" // an odd number of cells has no half
	}
	spec, err := parse(t.Context(), m.vehicle, changedSource(t, source, halved))
	if err != nil {
		return err.Error()
	}
	said := "nothing"
	for _, r := range ruletest.Run(t, spec, []*rules.Rule{rule}) {
		if r.Subject != m.subject && r.Subject != m.subject+lowerHalf {
			continue
		}
		if r.IsFinding() {
			return ""
		}
		said = string(r.Verdict) + ": " + r.Message
	}
	return said
}
