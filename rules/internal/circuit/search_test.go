package circuit

import (
	"fmt"
	"hash/fnv"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"example.org/headroom/schema"
)

// vehicles are the networks of the demo fleet and of the other sound vehicles, each
// also with some of its conductors taken away.
func vehicles(t *testing.T) map[string]*Network {
	t.Helper()
	all := map[string]*Network{}
	root := filepath.Join("..", "..", "..", "testdata")
	targets, err := schema.Find([]string{filepath.Join(root, "fleet") + "/...", filepath.Join(root, "sound") + "/..."}, schema.Options{})
	if err != nil || len(targets) == 0 {
		t.Fatal(targets, err)
	}
	for i, target := range targets {
		l := schema.Read(t.Context(), target, schema.Options{})
		if l.Err != nil {
			t.Fatal(l.Err)
		}
		all[fmt.Sprint(i)] = New(l.Spec)
		for seed := range uint64(6) {
			spec := *l.Spec
			spec.Wires = map[string]*schema.Wire{}
			for id, w := range l.Spec.Wires {
				if chance(seed, id) >= 0.15 {
					spec.Wires[id] = w
				}
			}
			all[fmt.Sprint(i, " less ", seed)] = New(&spec)
		}
	}
	return all
}

// chance is a number from 0 to 1 that a seed and some words give.
func chance(seed uint64, words ...string) float64 {
	h := fnv.New64a()
	fmt.Fprint(h, seed, words)
	return float64(h.Sum64()%1e6) / 1e6
}

// What a row of parts bounds is what the flow through the whole network comes to,
// in every network and with limits of every kind.
func TestRowBoundsAsFlow(t *testing.T) {
	contacts, short := 0, 0
	for name, n := range vehicles(t) {
		for seed := range uint64(8) {
			limit := func(e *Edge, from Node) float64 {
				side := strconv.FormatBool(from == e.From)
				switch x := chance(seed, e.ID, side); {
				case x < 0.2:
					return 0
				case x > 0.9:
					return math.Inf(1)
				case x > 0.7:
					return 5
				default:
					return math.Round(20*x) + 1
				}
			}
			b := n.Bounds(limit)
			for _, e := range n.Edges {
				if !e.isContact() {
					continue
				}
				f := newFlow(n, e, limit)
				if !slices.Equal(b.zonesWithout(e), f.zones) {
					t.Errorf("%s: the zones without %s are not numbered as in a whole search", name, e.ID)
				}
				want, back := f.most(f.zones[e.To], f.zones[e.From]), f.most(f.zones[e.From], f.zones[e.To])
				if back.A > want.A {
					want = back
				}
				want.Beside = f.zones[e.From] == f.zones[e.To]
				got := b.Through(e)
				if got.A != want.A || got.Beside != want.Beside || !slices.Equal(got.By, want.By) {
					t.Errorf("%s, seed %d, %s: %v A by %v, the whole flow is %v A by %v", name, seed, e.ID, got.A, ids(got.By), want.A, ids(want.By))
				}
				contacts++
				if _, ok := b.alongRow(e, e.From); ok {
					short++
				}
			}
		}
	}
	if short < contacts/10 {
		t.Errorf("the row decides for %d of %d contacts only", short, contacts)
	}
}

func ids(edges []*Edge) (out []string) {
	for _, e := range edges {
		out = append(out, e.ID)
	}
	return out
}

// What contacts feed is what they cut off when they open.
func TestBehindAsCutOff(t *testing.T) {
	found := 0
	for name, n := range vehicles(t) {
		var contacts []*Edge
		for _, e := range n.Edges {
			if e.isContact() {
				contacts = append(contacts, e)
			}
		}
		for _, mode := range n.Modes() {
			state := n.Solve(Case{Mode: mode})
			spans := func(open ...*Edge) Poles {
				var pos, neg []Node
				for _, s := range n.Sources() {
					if state.Supplies(s) {
						pos, neg = append(pos, s.Pos), append(neg, s.Neg)
					}
				}
				from := func(outward bool, roots []Node) Nodes {
					return n.Reach(Without(func(e *Edge, enter Node) bool {
						return state.Feeding(outward)(e, enter) || n.IsSeriesResistor(e)
					}, open...), roots...)
				}
				return Poles{from(true, pos), from(false, neg)}
			}
			before := spans()
			for i, e := range contacts {
				for _, set := range [][]*Edge{{e}, {e, contacts[(i+1)%len(contacts)]}} {
					after := spans(set...)
					var want []*Edge
					for _, x := range n.Edges {
						if x.IsConsumer() && before.Span(x) && !after.Span(x) {
							want = append(want, x)
						}
					}
					found += len(want)
					if got := n.Behind(state, set...); !slices.Equal(got, want) {
						t.Errorf("%s, mode %s: behind %v are %v, want %v", name, mode, ids(set), ids(got), ids(want))
					}
				}
			}
		}
	}
	if found == 0 {
		t.Error("no contact feeds anything")
	}
}
