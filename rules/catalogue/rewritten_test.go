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
// for something else as well: a pole, a way of a block, a role, a kind, a field or the function of a lamp.
func rename(tree map[string]any) map[string]string {
	taken := map[string]bool{"converter": true, "charger": true, "shunt": true, "pilot": true, "inlet": true, "battery": true, "dropper": true, "bleed": true, "key": true,
		"motor": true, "headlamp": true, "tail": true, "brake": true, "turn": true, "hazard": true, "horn": true, "steering": true}
	for _, part := range members(tree, "switches") {
		for pole := range members(part, "poles") {
			taken[pole] = true
		}
	}
	for _, part := range members(tree, "blocks") {
		for way := range members(part, "ways") {
			taken[way] = true
		}
	}
	names := map[string]string{}
	for _, kind := range []string{"batteries", "fuses", "disconnects", "contactors", "relays", "timers", "resistors", "shunts", "meters",
		"breakers", "cutouts", "switches", "converters", "chargers", "connectors", "solar", "controllers", "motors", "loads", "diodes", "studs", "blocks", "wires", "busbars"} {
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

// rewordedDifferently runs rules over a vehicle described in other words and lists
// where they say otherwise than before.
func rewordedDifferently(t *testing.T, source []byte, before []rules.Result, list []*rules.Rule) (differences []string) {
	t.Helper()
	var names map[string]string
	spec, err := parse(t.Context(), "rewritten", changedSource(t, source, func(tree map[string]any) { names = rewritten(tree) }))
	if err != nil {
		return []string{err.Error()}
	}
	got := map[string]rules.Result{}
	for _, r := range ruletest.Run(t, spec, list) {
		got[groupKey(r.Rule, r.Subject)] = r
	}
	for _, want := range before {
		part, terminal, below := strings.Cut(want.Subject, ".")
		subject := or(names[part], part)
		if below {
			subject += "." + terminal
		}
		key := groupKey(want.Rule, subject)
		r, ok := got[key]
		delete(got, key)
		if !ok || r.Verdict != want.Verdict || math.Abs(r.Headroom-want.Headroom) > 0.02*math.Abs(want.Headroom) {
			differences = append(differences, fmt.Sprintf("%s was %s, %.4g: %s\n\tis %s, %.4g: %s", want.Key(), want.Verdict, want.Headroom, want.Message,
				r.Verdict, r.Headroom, r.Message))
		}
	}
	for _, key := range slices.Sorted(maps.Keys(got)) {
		differences = append(differences, fmt.Sprintf("%s was not there, is %s: %s", key, got[key].Verdict, got[key].Message))
	}
	return differences
}

// What is found does not depend on the words in which a vehicle is described.
// TestSeededFaults asks the same of every fault.
func TestRewritten(t *testing.T) {
	for _, path := range soundPaths(t) {
		t.Run(vehicleName(path), func(t *testing.T) {
			t.Parallel()
			source := sourceOf(t, path)
			for _, d := range rewordedDifferently(t, source, soundResults(t, path), catalogue.All()) {
				t.Error(d)
			}
		})
	}
}
