package check

import (
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/cuecontext"

	"example.org/headroom/schema/internal/define"
	"example.org/headroom/schema/internal/input"
	"example.org/headroom/schema/internal/read"
	"example.org/headroom/schema/internal/source"

	cuejson "cuelang.org/go/encoding/json"
)

// The definitions are read once by CUE and once by us. This test asks both for a
// verdict on the same data.

// TestOracleMutations changes one value of one entity at a time and compares
// the verdict on that entity.
func TestOracleMutations(t *testing.T) {
	content, err := os.ReadFile("../../../testdata/formats/tern.json")
	if err != nil {
		t.Fatal(err)
	}
	var vehicle map[string]any
	if err := json.Unmarshal(content, &vehicle); err != nil {
		t.Fatal(err)
	}
	all := cuecontext.New(cuecontext.CUE_DEBUG(""), cuecontext.EvaluatorVersion(cuecontext.EvalV3)).CompileString(define.Definitions())
	if err := all.Err(); err != nil {
		t.Fatal(err)
	}
	ours := define.Spec()
	named := map[string]string{"vehicle": "#Vehicle", "policy": "#Policy"}
	for _, f := range ours.Fields {
		if f.Value.Element != nil && f.Value.Element.Name != "" {
			named[f.Name] = f.Value.Element.Name
		}
	}
	ctx, cases := cuecontext.New(), 0
	for kind, name := range inOrder(named) {
		entities, ok := vehicle[kind].(map[string]any)
		if list, isList := vehicle[kind].([]any); isList {
			entities, ok = map[string]any{}, true
			for i, item := range list {
				entities[strconv.Itoa(i)] = item
			}
		}
		if !ok {
			t.Errorf("the vehicle has no %s", kind)
			continue
		}
		def := ours.Field(kind).Value
		if def.Element != nil {
			def = def.Element
		} else {
			entities = map[string]any{kind: entities}
		}
		for id, entity := range inOrder(entities) {
			for _, mutant := range mutants(entity) {
				cases++
				compareVerdicts(t, ctx, kind+"."+id, all.LookupPath(cue.ParsePath(name)), def, mutant)
			}
		}
	}
	t.Logf("%d mutants compared", cases)
}

func compareVerdicts(t *testing.T, ctx *cue.Context, path string, definition cue.Value, def *define.Definition, mutant string) {
	t.Helper()
	expr, err := cuejson.Extract("mutant.json", []byte(mutant))
	if err != nil {
		t.Fatal(err)
	}
	verdict := ctx.BuildExpr(expr).Unify(definition).Validate(cue.Concrete(true))
	c := source.NewCollector(100)
	root := read.ReadJSON(source.NewText("mutant.json", []byte(mutant), true), c, input.DefaultLimits().Depth)
	if root == nil {
		t.Fatalf("%s: %v", mutant, c.Problems)
	}
	k := New(c, root, nil)
	k.value(root, def, path, path, source.Span{})
	// The form of a reference is judged with what it refers to.
	form := verdict != nil && len(c.Problems) == 0 && strings.Contains(verdict.Error(), "out of bound =~") && (strings.Contains(mutant, `"No Ref"`) || strings.Contains(mutant, `""`))
	if (verdict == nil) != (len(c.Problems) == 0) && !form {
		t.Errorf("%s: %s\nCUE: %v\nours: %v", path, mutant, verdict, c.Problems)
	}
}

// mutants returns a value unchanged and with each of its parts changed in
// every way: left out, renamed, or replaced by values of each kind.
func mutants(v any) []string {
	var all []string
	write := func(v any) string {
		b, err := json.Marshal(v)
		if err != nil {
			panic(err)
		}
		return string(b)
	}
	whole := write(v)
	all = append(all, whole)
	replacements := []any{-1.0, 0.0, 0.5, 3.0, 1e12, "No Ref", "", true, nil, []any{}, map[string]any{}}
	var walk func(node any, replace func(any))
	walk = func(node any, replace func(any)) {
		for _, r := range replacements {
			replace(r)
			all = append(all, write(v))
		}
		replace(node)
		switch node := node.(type) {
		case map[string]any:
			for name, value := range inOrder(node) {
				delete(node, name)
				all = append(all, write(v))
				node[name+"_x"] = value
				all = append(all, write(v))
				delete(node, name+"_x")
				node[name] = value
				walk(value, func(r any) { node[name] = r })
			}
		case []any:
			for i, value := range node {
				walk(value, func(r any) { node[i] = r })
			}
		}
	}
	walk(v, func(r any) {
		// The whole entity is replaced by marshalling the replacement itself.
		all = append(all, write(r))
	})
	if write(v) != whole {
		panic(fmt.Sprintf("a mutation was left in: %s", write(v)))
	}
	return all
}

// inOrder yields the entries of a map in the order of their keys.
func inOrder[V any](m map[string]V) iter.Seq2[string, V] {
	return func(yield func(string, V) bool) {
		for _, k := range slices.Sorted(maps.Keys(m)) {
			if !yield(k, m[k]) {
				return
			}
		}
	}
}
