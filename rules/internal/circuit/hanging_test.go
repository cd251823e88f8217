package circuit

import (
	"slices"
	"testing"

	"example.org/headroom/schema"
)

// What hangs on an edge is what a search from there finds without it, and no more.
func TestHangingIsWhatNothingElseJoins(t *testing.T) {
	hanging, joined := 0, 0
	for _, path := range []string{"heron", "badger", "mole"} {
		targets, err := schema.Find([]string{"../../../testdata/fleet/" + path}, schema.Options{})
		if err != nil || len(targets) != 1 {
			t.Fatalf("%s: %d targets, %v", path, len(targets), err)
		}
		n := New(schema.Read(t.Context(), targets[0], schema.Options{}).Spec)
		for _, e := range n.Edges {
			if !e.carriesFault() {
				continue
			}
			but := func(x *Edge, _ Node) bool { return x != e && x.carriesFault() }
			bridge := !n.Reaches(e.From, e.To, but)
			nodes, ok := n.Hanging(e)
			if bridge != (nodes != nil) {
				t.Errorf("%s: %s alone joins two sides: %t, said %v", path, e.ID, bridge, nodes)
			}
			if !bridge {
				joined++
				continue
			}
			hanging++
			end := e.From
			if !slices.Contains(nodes, end) {
				end = e.To
			}
			reached, sources := n.Reach(but, end), false
			for v := range n.Nodes() {
				if reached.Has(Node(v)) != slices.Contains(nodes, Node(v)) {
					t.Errorf("%s: node %d behind %s: %t", path, v, e.ID, reached.Has(Node(v)))
				}
				sources = sources || reached.Has(Node(v)) && slices.ContainsFunc(n.at[v], (*Edge).isSource)
			}
			if ok == sources {
				t.Errorf("%s: a source behind %s: %t", path, e.ID, sources)
			}
		}
	}
	if hanging == 0 || joined == 0 {
		t.Errorf("%d edges that something hangs on, %d others", hanging, joined)
	}
}
