package catalogue_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"runtime/debug"
	"slices"
	"sync"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// Hundreds of vehicles come and go here: as the command does, the tests collect
// garbage less often than Go would by itself.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	os.Exit(m.Run())
}

// sources holds the JSON of the vehicles on disk by their path: CUE is evaluated
// once for each, and tests change JSON.
var sources sync.Map

// sourceOf returns a sound vehicle as JSON.
func sourceOf(t *testing.T, path string) []byte {
	t.Helper()
	if source, ok := sources.Load(path); ok {
		return source.([]byte)
	}
	source, err := ruletest.Load(t, path).JSON()
	if err != nil {
		t.Fatal(err)
	}
	sources.Store(path, source)
	return source
}

// found holds what all rules say of the sound vehicles.
var found sync.Map

// soundResults applies all rules to a sound vehicle.
func soundResults(t *testing.T, path string) []rules.Result {
	t.Helper()
	once, _ := found.LoadOrStore(path, sync.OnceValue(func() []rules.Result {
		return ruletest.Run(t, specOf(t, sourceOf(t, path)), catalogue.All())
	}))
	return slices.Clone(once.(func() []rules.Result)())
}

// changedSource carries out a change on the tree of a vehicle.
func changedSource(t *testing.T, source []byte, change func(tree map[string]any)) []byte {
	t.Helper()
	var tree map[string]any
	if err := json.Unmarshal(source, &tree); err != nil {
		t.Fatal(err)
	}
	change(tree)
	out, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// parse reads a vehicle from JSON that must hold no mistake.
func parse(ctx context.Context, name string, source []byte) (*schema.Spec, error) {
	loaded := load(ctx, name, source)
	if loaded.Err != nil || len(loaded.Problems) > 0 {
		return nil, errors.Join(loaded.Err, fmt.Errorf("%+v", loaded.Problems))
	}
	return loaded.Spec, nil
}

// load reads a vehicle from JSON that may hold mistakes.
func load(ctx context.Context, name string, source []byte) *schema.Loaded {
	return schema.Read(ctx, schema.Target{Path: schema.Stdin, Format: schema.FormatJSON},
		schema.Options{Stdin: bytes.NewReader(source), StdinName: name + ".json"})
}

// specOf is parse for vehicles that are known to be right.
func specOf(t *testing.T, source []byte) *schema.Spec {
	t.Helper()
	spec, err := parse(t.Context(), "vehicle", source)
	if err != nil {
		t.Fatal(err)
	}
	return spec
}
