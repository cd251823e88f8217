package review

import (
	"bytes"
	"cmp"
	"encoding/json"
	"maps"
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// entities splits the path of a value into what it belongs to and its field.
func split(path string) (group, id, field string) {
	group, rest, _ := strings.Cut(path, ".")
	switch group {
	case "vehicle", "policy", "headroom", "cycle", "waivers":
		return group, "", rest
	}
	id, field, _ = strings.Cut(rest, ".")
	return group, id, field
}

// entityOf names what a path belongs to.
func entityOf(path string) string {
	switch group, id, _ := split(path); group {
	case "vehicle", "policy", "cycle", "waivers":
		return group
	case "modes":
		return "mode " + id
	case "zones":
		return "zone " + id
	default:
		return id
	}
}

// Edits lists what differs between two revisions of a vehicle, in the order of
// the new one's lines; what is gone comes last. Layout, comments, the order of
// entries and defaults written out make no difference.
func Edits(old, now *schema.Spec) []report.Edit {
	before, after := old.Values(), now.Values()
	oldEntities, newEntities := entities(old), entities(now)
	var edits []report.Edit
	add := func(path, field string) {
		e := report.Edit{Path: path, Entity: entityOf(path), Field: field, Old: shown(path, before[path]), New: shown(path, after[path])}
		if before[path] != "" || field == "" {
			e.OldAt = old.At(path)
		}
		if after[path] != "" || field == "" {
			e.NewAt = now.At(path)
		}
		if field != "" && old.LineOf(path) == now.LineOf(path) {
			share(&e, old, now)
		}
		edits = append(edits, e)
	}
	for entity := range union(oldEntities, newEntities) {
		switch {
		case !oldEntities[entity]:
			add(entity, "")
			edits[len(edits)-1].New, edits[len(edits)-1].OldAt = "added", schema.Position{}
		case !newEntities[entity]:
			add(entity, "")
			edits[len(edits)-1].Old, edits[len(edits)-1].NewAt = "removed", schema.Position{}
		}
	}
	for path := range union(before, after) {
		group, id, field := split(path)
		if entity := group + "." + id; before[path] == after[path] || id != "" && oldEntities[entity] != newEntities[entity] {
			continue
		}
		add(path, field)
	}
	slices.SortFunc(edits, func(a, b report.Edit) int {
		return cmp.Or(
			cmp.Compare(gone(a), gone(b)),
			cmp.Compare(a.NewAt.File, b.NewAt.File), cmp.Compare(a.NewAt.Line, b.NewAt.Line), cmp.Compare(a.NewAt.Column, b.NewAt.Column),
			cmp.Compare(a.Path, b.Path))
	})
	return edits
}

// share moves the places of an edit to the shared package that sets the value.
// The vehicle itself has the same line as before, so that it was edited there
// and not by taking another part.
func share(e *report.Edit, old, now *schema.Spec) {
	if at, ok := now.Shared(e.Path); ok && e.NewAt.IsValid() {
		e.NewAt, e.Shared = at, true
	}
	if at, ok := old.Shared(e.Path); ok && e.OldAt.IsValid() {
		e.OldAt, e.Shared = at, true
	}
}

func gone(e report.Edit) int {
	if e.New == "" {
		return 1
	}
	return 0
}

// union is the set of the keys of two maps.
func union[V any](a, b map[string]V) map[string]bool {
	all := map[string]bool{}
	for _, m := range []map[string]V{a, b} {
		for k := range m {
			all[k] = true
		}
	}
	return all
}

// entities lists the parts, conductors, modes and zones of a spec by their paths.
func entities(s *schema.Spec) map[string]bool {
	all := map[string]bool{}
	tree := given(s)
	for group, v := range tree {
		members, ok := v.(map[string]any)
		if _, id, _ := split(group + ".x"); !ok || id == "" {
			continue
		}
		for id := range members {
			all[group+"."+id] = true
		}
	}
	return all
}

// given is a spec as it was written, as plain data.
func given(s *schema.Spec) map[string]any {
	tree := map[string]any{}
	text, err := s.JSON()
	if err == nil {
		decoder := json.NewDecoder(bytes.NewReader(text))
		decoder.UseNumber() // digits stay as they were written
		err = decoder.Decode(&tree)
	}
	if err != nil {
		panic("review: a specification that was read cannot be written: " + err.Error())
	}
	return tree
}

// shown renders a value for people: a text without quotes, a number with the
// unit of its field, a list in brackets.
func shown(path, value string) string {
	if value == "" {
		return ""
	}
	names := strings.Split(path, ".")
	unit := schema.UnitOf(names[len(names)-1])
	if n := len(names); n > 2 && slices.Contains(rangeMembers(), names[n-1]) {
		unit = schema.UnitOf(names[n-2]) // ambient_C: {min, max}
	}
	var v any
	if json.Unmarshal([]byte(value), &v) != nil {
		return value
	}
	if list, ok := v.([]any); ok {
		return "[" + strings.Join(items(list), ", ") + "]"
	}
	return strings.TrimSpace(plain(v) + " " + unit)
}

// rangeMembers are the members of a range in the order in which people say them.
func rangeMembers() []string { return []string{"min", "typ", "max"} }

func items(list []any) []string {
	out := make([]string, len(list))
	for i, v := range list {
		out[i] = plain(v)
	}
	return out
}

// plain renders a value without its unit; the members of an object carry
// theirs in their names.
func plain(v any) string {
	switch x := v.(type) {
	case string:
		return x
	case bool:
		return strconv.FormatBool(x)
	case float64:
		return strconv.FormatFloat(x, 'f', -1, 64)
	case []any:
		return strings.Join(items(x), " ")
	case map[string]any:
		var parts []string
		names := slices.Collect(maps.Keys(x))
		slices.SortFunc(names, func(a, b string) int {
			order := rangeMembers()
			return cmp.Or(cmp.Compare(slices.Index(order, a), slices.Index(order, b)), cmp.Compare(a, b))
		})
		for _, name := range names {
			if x[name] != nil {
				parts = append(parts, name+" "+plain(x[name]))
			}
		}
		return strings.Join(parts, " ")
	}
	return ""
}

// Inputs picks the edits of values that stand in the working of a result.
func Inputs(edits []report.Edit, results ...rules.Result) []report.Edit {
	var paths []string
	for _, r := range results {
		for _, step := range r.Working {
			if p := step.Origin.Path; p != "" {
				paths = append(paths, p)
			}
		}
	}
	var out []report.Edit
	for _, e := range edits {
		// An edit may add a whole part, and a working may name a whole group.
		if slices.ContainsFunc(paths, func(p string) bool { return within(p, e.Path) || within(e.Path, p) }) {
			out = append(out, e)
		}
	}
	return out
}

// within reports whether a path is that of a group or of something in it.
func within(path, group string) bool {
	return path == group || strings.HasPrefix(path, group+".")
}

// Likeness is the share of parts, conductors and modes that two vehicles have
// in common by their ids, from 0 to 1.
func Likeness(a, b *schema.Spec) float64 {
	x, y := entities(a), entities(b)
	common := 0
	for id := range x {
		if y[id] {
			common++
		}
	}
	all := len(union(x, y))
	if all == 0 {
		return 0
	}
	return float64(common) / float64(all)
}
