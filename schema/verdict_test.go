package schema

import (
	"encoding/json"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"cuelang.org/go/cue"
	"cuelang.org/go/cue/cuecontext"
	cuejson "cuelang.org/go/encoding/json"
)

// The definitions are read once by CUE and once by us. This test asks both for a
// verdict on the same data.

// TestOracleMutations changes one value of one entity at a time and compares
// the verdict on that entity.
func TestOracleMutations(t *testing.T) {
	content, err := os.ReadFile("../testdata/formats/tern.json")
	if err != nil {
		t.Fatal(err)
	}
	var vehicle map[string]any
	if err := json.Unmarshal(content, &vehicle); err != nil {
		t.Fatal(err)
	}
	all := cuecontext.New(cuecontext.CUE_DEBUG(""), cuecontext.EvaluatorVersion(cuecontext.EvalV3)).CompileString(Definitions())
	if err := all.Err(); err != nil {
		t.Fatal(err)
	}
	ours, err := specDefinition()
	if err != nil {
		t.Fatal(err)
	}
	named := map[string]string{"vehicle": "#Vehicle", "policy": "#Policy"}
	for _, f := range ours.fields {
		if f.value.element != nil && f.value.element.name != "" {
			named[f.name] = f.value.element.name
		}
	}
	ctx, cases := cuecontext.New(), 0
	for kind, name := range Sorted(named) {
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
		def := ours.byName[kind].value
		if def.element != nil {
			def = def.element
		} else {
			entities = map[string]any{kind: entities}
		}
		for id, entity := range Sorted(entities) {
			for _, mutant := range mutants(entity) {
				cases++
				compareVerdicts(t, ctx, kind+"."+id, all.LookupPath(cue.ParsePath(name)), def, mutant)
			}
		}
	}
	t.Logf("%d mutants compared", cases)
}

func compareVerdicts(t *testing.T, ctx *cue.Context, path string, definition cue.Value, def *definition, mutant string) {
	t.Helper()
	expr, err := cuejson.Extract("mutant.json", []byte(mutant))
	if err != nil {
		t.Fatal(err)
	}
	verdict := ctx.BuildExpr(expr).Unify(definition).Validate(cue.Concrete(true))
	c := newCollector()
	root := readJSON(newText("mutant.json", []byte(mutant), true), c, DefaultLimits().Depth)
	if root == nil {
		t.Fatalf("%s: %v", mutant, c.problems)
	}
	k := newChecker(c, root, nil)
	k.value(root, def, path, path, span{})
	// The form of a reference is judged with what it refers to.
	form := verdict != nil && len(c.problems) == 0 && strings.Contains(verdict.Error(), "out of bound =~") && (strings.Contains(mutant, `"No Ref"`) || strings.Contains(mutant, `""`))
	if (verdict == nil) != (len(c.problems) == 0) && !form {
		t.Errorf("%s: %s\nCUE: %v\nours: %v", path, mutant, verdict, c.problems)
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
			for name, value := range Sorted(node) {
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
