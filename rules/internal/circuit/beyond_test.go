package circuit

import (
	"slices"
	"testing"
)

// What lies beyond a conductor, and the rows that begin there, are what a look at
// every loop and every node finds; of conductors in a ring too.
func TestBeyondAsScanned(t *testing.T) {
	rings := 0
	for name, n := range vehicles(t) {
		for _, source := range n.Sources() {
			p := newProtection(n, source)
			for _, e := range n.Edges {
				on, ok := p.sideOf(e)
				if !ok || !e.IsConductor() {
					continue
				}
				here := p.sides[on]
				b := p.beyond(e, here, Guard{Near: e.From, Far: e.To})
				var returns, rows, wantReturns, wantRows []Node
				returns = here.returns(b)
				here.beyond(b, len(here.rows), func(i int) Node { return here.rows[i] }, func(i int) { rows = append(rows, here.rows[i]) })
				for _, l := range here.loops {
					if b.has(l.here) {
						wantReturns = append(wantReturns, l.there)
					}
				}
				for v := range Node(n.Nodes()) {
					if b.has(v) && slices.ContainsFunc(n.at[v], n.inChain) {
						wantRows = append(wantRows, v)
					}
				}
				if !slices.Equal(returns, sortedNodes(wantReturns)) || !slices.Equal(sortedNodes(rows), wantRows) {
					t.Errorf("%s: beyond %s from %s: returns %v, rows %v; a scan finds %v and %v", name, e.ID, source.ID, returns, rows, wantReturns, wantRows)
				}
				if b.ring != nil {
					if len(wantReturns) > 0 && len(wantRows) > 0 {
						rings++
					}
					p.giveBack(b.ring)
				}
			}
		}
	}
	if rings == 0 {
		t.Error("no conductor in a ring has a return and a row beyond it")
	}
}
