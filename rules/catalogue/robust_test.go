package catalogue_test

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// checkAnything loads what may hold mistakes and applies every rule to what is
// left of it: there may be findings, but never a fault.
func checkAnything(t *testing.T, path string) {
	t.Helper()
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, target := range targets {
		checkLoaded(t, target.Path, schema.Read(t.Context(), target, schema.Options{}))
	}
}

func checkLoaded(t *testing.T, name string, l *schema.Loaded) {
	t.Helper()
	if l.Spec == nil {
		return
	}
	if _, err := rules.Run(context.Background(), l.Spec, catalogue.All()); err != nil {
		t.Errorf("%s: %v", name, err)
	}
}

// No malformed specification makes a rule fail.
func TestRulesBearMalformedSpecs(t *testing.T) {
	folder := filepath.Join(ruletest.Fleet(), "..", "malformed")
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !e.IsDir() && filepath.Ext(e.Name()) != ".txt" {
			checkAnything(t, filepath.Join(folder, e.Name()))
		}
	}
	checkAnything(t, filepath.Join(folder, "library", "..."))
}

// No rule fails on a demo vehicle that lacks one value, part or whole kind of
// parts. A fixed sample of them is tried.
func TestRulesBearMissingValues(t *testing.T) {
	type lack struct {
		vehicle string
		path    []string
	}
	var all []lack
	r := rand.New(rand.NewPCG(1, 2))
	for _, vehicle := range vehicles(t) {
		var tree map[string]any
		if err := json.Unmarshal(sourceOf(t, filepath.Join(ruletest.Fleet(), vehicle)), &tree); err != nil {
			t.Fatal(err)
		}
		var paths [][]string
		collect(tree, nil, &paths)
		r.Shuffle(len(paths), func(i, j int) { paths[i], paths[j] = paths[j], paths[i] })
		for _, kind := range slices.Sorted(maps.Keys(tree)) { // every kind once
			paths = slices.Insert(paths, 0, []string{kind})
		}
		for _, path := range paths[:80] {
			all = append(all, lack{vehicle, path})
		}
	}
	inParallel(len(all), func(i int) {
		path := all[i].path
		source := changedSource(t, sourceOf(t, filepath.Join(ruletest.Fleet(), all[i].vehicle)), func(tree map[string]any) {
			at := tree
			for _, k := range path[:len(path)-1] {
				at = at[k].(map[string]any)
			}
			delete(at, path[len(path)-1])
		})
		checkLoaded(t, fmt.Sprintf("%s without %v", all[i].vehicle, path), load(t.Context(), all[i].vehicle, source))
	})
}

// collect lists the paths of all members of a tree, in order.
func collect(tree map[string]any, path []string, out *[][]string) {
	for _, k := range slices.Sorted(maps.Keys(tree)) {
		here := append(slices.Clone(path), k)
		*out = append(*out, here)
		if sub, ok := tree[k].(map[string]any); ok {
			collect(sub, here, out)
		}
	}
}
