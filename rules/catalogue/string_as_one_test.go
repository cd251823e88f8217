package catalogue_test

import (
	"maps"
	"path/filepath"
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/internal/oracle"
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
			known, unchecked := map[string]bool{}, map[string]bool{}
			for _, r := range ruletest.Run(t, ruletest.Load(t, path), catalogue.All()) {
				known[r.Rule] = true
				if r.Verdict == rules.NotChecked {
					unchecked[r.Key()], unchecked[r.Key()+lowerHalf] = true, true
				}
			}
			for _, r := range ruletest.Run(t, ruletest.Rebuilt(t, path, halved), catalogue.All()) {
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

// The mistakes that are seeded in vehicles are found with two batteries in series
// as well.
func TestSeededFaultsWithHalvedBatteries(t *testing.T) {
	byID := map[string]*rules.Rule{}
	for _, r := range catalogue.All() {
		byID[r.ID] = r
	}
	mutants := seed(t, oracle.Judges())
	inParallel(len(mutants), func(i int) {
		m := mutants[i]
		rule := byID[m.rule]
		switch {
		case rule.Check == nil:
			return
		case m.rule == "polarity-reversed" && m.vehicle == "series-string" && m.subject == "b1":
			// Of four batteries two then oppose the other two, and nothing tells which
			// pair is meant.
			return
		}
		source, err := m.spec.JSON()
		if err != nil {
			t.Errorf("%v: %v", m, err)
			return
		}
		path := ruletest.Write(t, t.TempDir(), m.vehicle+".json", string(source))
		said := "nothing"
		for _, r := range ruletest.Run(t, ruletest.Rebuilt(t, path, halved), []*rules.Rule{rule}) {
			if r.Subject != m.subject && r.Subject != m.subject+lowerHalf {
				continue
			}
			if r.IsFinding() {
				return
			}
			said = string(r.Verdict) + ": " + r.Message
		}
		t.Errorf("MISS %v with two batteries in series: %s", m, said)
	})
}
