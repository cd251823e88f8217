package catalogue_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/internal/oracle"
	"example.org/headroom/rules/ruletest"
)

// rewritten describes the same vehicle in other words: every conductor from its
// other end, every part without a direction the other way round, and ids that
// sort in the opposite order. It returns the new ids.
func rewritten(tree map[string]any) map[string]string {
	other := otherEnds(tree)
	for _, kind := range []string{"wires", "busbars"} {
		for _, c := range members(tree, kind) {
			from, to := c["from"].(string), c["to"].(string)
			c["from"], c["to"] = or(other[to], to), or(other[from], from)
		}
	}
	return rename(tree)
}

func members(tree map[string]any, kind string) map[string]map[string]any {
	out := map[string]map[string]any{}
	all, _ := tree[kind].(map[string]any)
	for id, m := range all {
		out[id], _ = m.(map[string]any)
	}
	return out
}

func or(s, fallback string) string {
	if s == "" {
		return fallback
	}
	return s
}

// otherEnds maps each terminal of a part without a direction to its opposite one.
func otherEnds(tree map[string]any) map[string]string {
	other := map[string]string{}
	pair := func(a, b string) { other[a], other[b] = b, a }
	for _, kind := range []string{"fuses", "resistors", "disconnects", "contactors"} {
		for id, part := range members(tree, kind) {
			contact, _ := part["contact"].(map[string]any)
			if part["polarized"] != true && contact["polarized"] != true {
				pair(id+".a", id+".b")
			}
		}
	}
	for id, part := range members(tree, "switches") {
		for pole := range members(part, "poles") {
			pair(id+"."+pole+"_a", id+"."+pole+"_b")
		}
	}
	return other
}

var word = regexp.MustCompile(`"([a-z0-9_]+)(\.[a-z0-9_]+)?"`)

// rename gives what has an id one that sorts the other way, but for ids that stand
// for something else as well: a pole or a role.
func rename(tree map[string]any) map[string]string {
	taken := map[string]bool{"converter": true, "charger": true, "shunt": true, "dropper": true, "bleed": true, "key": true}
	for _, part := range members(tree, "switches") {
		for pole := range members(part, "poles") {
			taken[pole] = true
		}
	}
	names := map[string]string{}
	for _, kind := range []string{"batteries", "fuses", "disconnects", "contactors", "relays", "resistors", "shunts", "meters",
		"switches", "converters", "chargers", "controllers", "loads", "diodes", "studs", "wires", "busbars"} {
		ids := slices.Sorted(maps.Keys(members(tree, kind)))
		for i, id := range ids {
			if taken[id] {
				continue
			}
			names[id] = fmt.Sprintf("%.1s%03d_%s", kind, len(ids)-i, id)
		}
	}
	text, _ := json.Marshal(tree) // it was read from JSON
	text = word.ReplaceAllFunc(text, func(s []byte) []byte {
		m := word.FindSubmatch(s)
		if to, ok := names[string(m[1])]; ok {
			return []byte(`"` + to + string(m[2]) + `"`)
		}
		return s
	})
	clear(tree)
	_ = json.Unmarshal(text, &tree)
	return names
}

// groupKey names a result; of batteries side by side the first by id stands for all.
func groupKey(rule, subject string) string {
	switch rule {
	case "battery-parallel-mismatch", "battery-parallel-inrush", "house-energy-high":
		return rule
	}
	return rule + "/" + subject
}

// What is found does not depend on the words in which a vehicle is described.
func TestRewritten(t *testing.T) {
	type item struct {
		name, path string
		list       []*rules.Rule
	}
	var items []item
	for _, path := range soundPaths(t) {
		items = append(items, item{path, path, catalogue.All()})
	}
	byID := map[string]*rules.Rule{}
	for _, r := range catalogue.All() {
		byID[r.ID] = r
	}
	for _, m := range seed(t, oracle.Judges()) {
		source, err := m.spec.JSON()
		if err != nil {
			t.Fatal(err)
		}
		if rule := byID[m.rule]; rule.Check != nil {
			items = append(items, item{fmt.Sprint(m), ruletest.Write(t, t.TempDir(), m.vehicle+".json", string(source)), []*rules.Rule{rule}})
		}
	}
	for i := range items {
		x := items[i]
		var names map[string]string
		spec := ruletest.Rebuilt(t, x.path, func(tree map[string]any) { names = rewritten(tree) })
		got := map[string]rules.Result{}
		for _, r := range ruletest.Run(t, spec, x.list) {
			got[groupKey(r.Rule, r.Subject)] = r
		}
		for _, want := range ruletest.Run(t, ruletest.Changed(t, x.path), x.list) {
			part, terminal, below := strings.Cut(want.Subject, ".")
			subject := or(names[part], part)
			if below {
				subject += "." + terminal
			}
			key := groupKey(want.Rule, subject)
			r, ok := got[key]
			delete(got, key)
			if !ok || r.Verdict != want.Verdict || math.Abs(r.Headroom-want.Headroom) > 0.02*math.Abs(want.Headroom) {
				t.Errorf("%s: %s was %s, %.4g: %s\n\tis %s, %.4g: %s", x.name, want.Key(), want.Verdict, want.Headroom, want.Message,
					r.Verdict, r.Headroom, r.Message)
			}
		}
		for key, r := range got {
			t.Errorf("%s: %s was not there, is %s: %s", x.name, key, r.Verdict, r.Message)
		}
	}
}
