package circuit

import (
	"slices"
	"testing"
)

// The fuses that feed some nodes are those that plain searches find: met on the way
// back from the nodes, and fed past the others.
func TestFeedingAsSearched(t *testing.T) {
	several := 0
	for name, n := range vehicles(t) {
		f := n.Feeding()
		for _, source := range n.Sources() {
			for _, side := range []Side{Positive, Negative} {
				for i, e := range n.Edges {
					other := n.Edges[int(chance(1, name, e.ID)*float64(len(n.Edges)))]
					nodes := []Node{e.From, other.To}
					if i%2 == 0 {
						nodes = []Node{e.From, e.To}
					}
					fuses, fused := f.Fuses(source, side, nodes...)
					want, wantFused := searchedFuses(f, source, side, nodes)
					if fused != wantFused || !slices.Equal(fuses, want) {
						t.Errorf("%s: %s of %s to %s and %s: %v, %v; searches find %v, %v", name, side, source.ID, e.ID, other.ID, fuses, fused, want, wantFused)
					}
					if len(want) > 1 {
						several++
					}
				}
			}
		}
	}
	if several == 0 {
		t.Error("no node is fed through several fuses")
	}
}

func searchedFuses(f *Feeding, source Source, side Side, nodes []Node) (fuses []string, fused bool) {
	root := source.Pos
	if side == Negative {
		root = source.Neg
	}
	met := map[*Edge]bool{}
	inside := f.network.Reach(func(e *Edge, enter Node) bool {
		if e.Protects() {
			met[e] = true
			return false
		}
		return f.flowsTo(source, side, e, enter)
	}, nodes...)
	if inside.Has(root) {
		return nil, false
	}
	for e := range met {
		far := e.From
		if inside.Has(far) {
			far = e.To
		}
		past := func(e *Edge, enter Node) bool {
			if e.Protects() {
				return !met[e]
			}
			return f.flowsTo(source, side, e, enter)
		}
		if !inside.Has(far) && f.network.Reaches(far, root, past) {
			fuses = append(fuses, e.Part)
		}
	}
	slices.Sort(fuses)
	return fuses, true
}
