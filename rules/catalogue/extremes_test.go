package catalogue_test

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// numbersIn lists the paths of all numbers of a specification.
func numbersIn(at any, path []string, out *[][]string) {
	switch at := at.(type) {
	case map[string]any:
		for _, k := range slices.Sorted(maps.Keys(at)) {
			numbersIn(at[k], append(slices.Clone(path), k), out)
		}
	case float64:
		*out = append(*out, path)
	}
}

// put sets the value at a path.
func put(tree map[string]any, path []string, value any) {
	for _, k := range path[:len(path)-1] {
		tree = tree[k].(map[string]any)
	}
	tree[path[len(path)-1]] = value
}

// TestNumbersNobodyCanComputeWithAreRefused puts numbers at the ends of what a double
// can hold, and beyond, into every number of the demo vehicles: each is refused where it
// is written, or is a zero.
func TestNumbersNobodyCanComputeWithAreRefused(t *testing.T) {
	for _, number := range []string{"1e-320", "5e-324", "-5e-324", "2.3e-308", "1e-300", "-1e-300", "1e-30", "1e-10", "1e308", "-1e308", "1.7976931348623157e308", "1e309", "1e400", "-1e400", "1e18"} {
		for _, vehicle := range vehicles(t) {
			var paths [][]string
			text := changedSource(t, sourceOf(t, filepath.Join(ruletest.Fleet(), vehicle)), func(tree map[string]any) {
				numbersIn(tree, nil, &paths)
				paths = slices.DeleteFunc(paths, func(path []string) bool { return len(path) == 1 }) // the version of the format
				for _, path := range paths {
					put(tree, path, json.RawMessage(number))
				}
			})
			l := load(t.Context(), vehicle, text)
			refused := map[string]bool{}
			for _, p := range l.Problems {
				refused[p.Path] = true
			}
			missed := 0
			for _, path := range paths {
				if whole := strings.Join(path, "."); !refused[whole] && len(l.Problems) < 1000 {
					missed++
					if missed < 5 {
						t.Errorf("%s: %s is taken as %s", vehicle, whole, number)
					}
				}
			}
		}
	}
}

// nonsense is what no reader should see of a number: what is none, and powers of ten
// that no quantity of a vehicle has.
var nonsense = regexp.MustCompile(`\bNaN\b|\bInf\b|[+-]Inf|%!|\d[eE][+-]?0*[4-9]\d\b|\d[eE][+-]?\d{3}|(^|[^\d.\w])-0([^\d.\w]|$)`)

// TestExtremesOfEveryFieldGiveNumbers sets every field of the demo vehicles, in all parts
// that have it, to the least and to the greatest number that it takes, and applies all
// rules: what they say holds numbers only.
func TestExtremesOfEveryFieldGiveNumbers(t *testing.T) {
	type field struct {
		vehicle, name string
		paths         [][]string
	}
	var fields []*field
	names := map[string]bool{}
	for _, vehicle := range vehicles(t) {
		var tree map[string]any
		if err := json.Unmarshal(sourceOf(t, filepath.Join(ruletest.Fleet(), vehicle)), &tree); err != nil {
			t.Fatal(err)
		}
		var paths [][]string
		numbersIn(tree, nil, &paths)
		here := map[string]*field{}
		for _, path := range paths {
			name, _, _ := schema.FieldOf(strings.Join(path, "."))
			if name == "" || name == "headroom" {
				continue
			}
			if here[name] == nil {
				if names[name] { // in a vehicle before
					continue
				}
				here[name] = &field{vehicle: vehicle, name: name}
				fields = append(fields, here[name])
			}
			here[name].paths = append(here[name].paths, path)
		}
		for name := range here {
			names[name] = true
		}
	}
	if len(fields) < 100 {
		t.Fatalf("%d fields are tried", len(fields))
	}
	const sample = 12 // of which one is tried: each is a run of all rules
	inParallel(len(fields)/sample, func(i int) {
		f := fields[i*sample]
		for _, ends := range [][]float64{{1e-9, 1e-6, 1e-3, 0.1, 1}, {1e9, 3e5, 1e6, 1e5, 2e4, 1e4, 1500, 500, 100, 50, 1}} {
			for _, number := range ends {
				text := changedSource(t, sourceOf(t, filepath.Join(ruletest.Fleet(), f.vehicle)), func(tree map[string]any) {
					for _, path := range f.paths {
						put(tree, path, number)
					}
				})
				l := load(t.Context(), f.vehicle, text)
				if l.Spec == nil || slices.ContainsFunc(l.Problems, func(p schema.Problem) bool { return p.Rule == schema.RuleOutOfRange }) {
					continue
				}
				results, err := rules.Run(context.Background(), l.Spec, catalogue.All())
				if err != nil {
					t.Errorf("%s of %g: %v", f.name, number, err)
				}
				for _, res := range results {
					if why := senseless(reflect.ValueOf(res), ""); why != "" {
						t.Errorf("%s of %g: %s of %s: %s", f.name, number, res.Rule, res.Subject, why)
					}
				}
				break
			}
		}
	})
}

// senseless says what in a value is no number that a reader can use: in its texts, and
// in its numbers, of which headroom, demand and capability may be without limit.
func senseless(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.String:
		if found := nonsense.FindString(v.String()); found != "" {
			return fmt.Sprintf("%s has %q: %s", path, found, v)
		}
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.Abs(x) > 1e40 && !math.IsInf(x, 1) || x != 0 && math.Abs(x) < 1e-40 {
			return fmt.Sprintf("%s is %g", path, x)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if why := senseless(v.Field(i), path+"."+v.Type().Field(i).Name); why != "" {
				return why
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			if why := senseless(v.Index(i), fmt.Sprintf("%s[%d]", path, i)); why != "" {
				return why
			}
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return senseless(v.Elem(), path)
		}
	}
	return ""
}
