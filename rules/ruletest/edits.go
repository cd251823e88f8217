package ruletest

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// Edits lists edits of a specification as pairs of path and value: what is set
// there, in JSON, or "" to delete it.
func Edits(pairs ...string) []rules.Edit {
	list := make([]rules.Edit, 0, len(pairs)/2)
	for i := 0; i < len(pairs); i += 2 {
		list = append(list, rules.Edit{Path: pairs[i], Value: pairs[i+1]}) // an odd one is a fault of the test, and panics
	}
	return list
}

// Edited returns a vehicle of the fleet with edits carried out.
func Edited(t testing.TB, vehicle string, edits []rules.Edit) *schema.Spec {
	t.Helper()
	return Changed(t, filepath.Join(Fleet(), vehicle), edits...)
}

// Changed reads a specification with edits carried out.
func Changed(t testing.TB, path string, edits ...rules.Edit) *schema.Spec {
	t.Helper()
	if len(edits) == 0 {
		return Load(t, path)
	}
	return Rebuilt(t, path, func(tree map[string]any) {
		for _, e := range edits {
			apply(t, tree, e)
		}
	})
}

// Rebuilt reads a specification of which something has been made otherwise, by
// way of a JSON file.
func Rebuilt(t testing.TB, path string, change func(tree map[string]any)) *schema.Spec {
	t.Helper()
	tree := Tree(t, path)
	change(tree)
	return Load(t, Write(t, t.TempDir(), strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))+".json", JSON(t, tree)))
}

// Tree returns a specification as a tree of JSON values, a new one each time.
func Tree(t testing.TB, path string) map[string]any {
	t.Helper()
	spec := Load(t, path)
	source, ok := sources.Load(spec)
	if !ok {
		text, err := spec.JSON()
		if err != nil {
			t.Fatal(err)
		}
		source, _ = sources.LoadOrStore(spec, text)
	}
	var tree map[string]any
	if err := json.Unmarshal(source.([]byte), &tree); err != nil {
		t.Fatal(err)
	}
	return tree
}

// sources holds the JSON of specifications, from which edits begin.
var sources sync.Map

// apply carries out one edit. A path that sets something below a value that
// does not exist makes it.
func apply(t testing.TB, tree map[string]any, e rules.Edit) {
	t.Helper()
	keys := strings.Split(e.Path, ".")
	at := tree
	for _, k := range keys[:len(keys)-1] {
		next, ok := at[k].(map[string]any)
		if !ok {
			if at[k] != nil || e.Value == "" {
				t.Fatalf("edit %s: %s is not an object", e.Path, k)
			}
			next = map[string]any{}
			at[k] = next
		}
		at = next
	}
	last := keys[len(keys)-1]
	if e.Value == "" {
		if _, ok := at[last]; !ok {
			t.Fatalf("edit %s deletes what is not there", e.Path)
		}
		delete(at, last)
		return
	}
	var v any
	if err := json.Unmarshal([]byte(e.Value), &v); err != nil {
		t.Fatalf("edit %s: %v", e.Path, err)
	}
	at[last] = v
}

// JSON writes a tree of JSON values.
func JSON(t testing.TB, tree map[string]any) string {
	t.Helper()
	out, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
