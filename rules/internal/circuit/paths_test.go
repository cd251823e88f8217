package circuit

import (
	"slices"
	"testing"

	"example.org/headroom/schema"
)

// A path that looks into nothing that hangs on the rest is the path that looks into
// everything, between all nodes.
func TestPlainPathIsThePath(t *testing.T) {
	found, none := 0, 0
	for _, path := range []string{"heron", "badger", "mole"} {
		targets, err := schema.Find([]string{"../../../testdata/fleet/" + path}, schema.Options{})
		if err != nil || len(targets) != 1 {
			t.Fatalf("%s: %d targets, %v", path, len(targets), err)
		}
		n := New(schema.Read(t.Context(), targets[0], schema.Options{}).Spec)
		for name, cost := range map[string]func(*Edge, Node) (float64, bool){
			"metal": Metal,
			"forward": func(e *Edge, enter Node) (float64, bool) {
				return map[bool]float64{true: 100, false: 1}[e.Kind == DiodeEdge], Forward(e, enter)
			},
			"all": func(e *Edge, _ Node) (float64, bool) { return 1, e.carriesFault() },
		} {
			for from := range Node(n.Nodes()) {
				for to := range Node(n.Nodes()) {
					got, want := n.PlainPath(from, to, cost), n.Path(from, to, cost)
					if !slices.Equal(got, want) {
						t.Errorf("%s: another path over %s from %v to %v", path, name, n.Terminals(from), n.Terminals(to))
					}
					if want == nil {
						none++
					} else {
						found++
					}
				}
			}
		}
	}
	if found == 0 || none == 0 {
		t.Errorf("%d paths, %d times none", found, none)
	}
}
