package schema_test

import (
	"strings"
	"sync"
	"testing"

	"example.org/headroom/schema"
)

// TestWhereabouts asks for places again, from several at once, and for paths that
// lead nowhere.
func TestWhereabouts(t *testing.T) {
	file := "fuzz.yaml"
	text := "headroom: 1\nvehicle: {name: a, use: off-road, chassis: isolated}\nfuses:\n  \"\": {class: blade, rated_A: 5}\n  main: {class: blade, rated_A: 5}\n"
	l := schema.Read(t.Context(), schema.Target{Path: schema.Stdin, Format: "yaml"}, schema.Options{Stdin: strings.NewReader(text), StdinName: file})
	if l.Spec == nil {
		t.Fatal(l.Err)
	}
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for path, want := range map[string]struct {
				line  int
				given bool
			}{
				"fuses.main.rated_A": {5, true}, "fuses.main.spares": {5, false}, "fuses.main.rated_A.x": {5, false},
				"fuses.": {4, true}, "fuses": {3, true}, "": {1, true}, "nothing": {1, false}, "fuses.none": {3, false},
			} {
				if at := l.Spec.At(path); at.Line != want.line || at.File != file {
					t.Errorf("%q stands at %s, want line %d", path, at, want.line)
				}
				if l.Spec.Given(path) != want.given {
					t.Errorf("%q: given is %v", path, !want.given)
				}
			}
		})
	}
	all.Wait()
	if s := new(schema.Spec); s.At("fuses").IsValid() || s.Given("fuses") || s.LineOf("fuses") != "" || len(s.Broken()) != 0 {
		t.Error("a spec that was not read has places")
	}
}
