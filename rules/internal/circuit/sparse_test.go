package circuit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// randomNetwork returns a connected network of n nodes: a tree and some more
// edges, with conductances over eight decades, as vehicles have them.
func randomNetwork(r *rand.Rand, n, extra int) ([]*Edge, []float64) {
	var edges []*Edge
	var g []float64
	add := func(a, b int) {
		edges = append(edges, &Edge{From: Node(a), To: Node(b), index: len(edges)})
		g = append(g, math.Pow(10, -3+8*r.Float64()))
	}
	for v := 1; v < n; v++ {
		add(v, r.IntN(v))
	}
	for range extra {
		add(r.IntN(n), r.IntN(n))
	}
	return edges, g
}

// The sparse factorisation agrees with gonum's dense one.
func TestFactorAgainstDense(t *testing.T) {
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 1))
		n := 2 + r.IntN(60)
		edges, g := randomNetwork(r, n, r.IntN(20))
		dense := mat.NewDense(n, n, nil)
		diagonal := make([]float64, n)
		p := newPattern(n, edges)
		values := make([]float64, p.values)
		for k, e := range edges {
			if e.From == e.To {
				continue
			}
			diagonal[e.From] += g[k]
			diagonal[e.To] += g[k]
			values[p.edge[k]] -= g[k]
			i, j := int(e.From), int(e.To)
			dense.Set(i, i, dense.At(i, i)+g[k])
			dense.Set(j, j, dense.At(j, j)+g[k])
			dense.Set(i, j, dense.At(i, j)-g[k])
			dense.Set(j, i, dense.At(j, i)-g[k])
		}
		diagonal[0]++
		dense.Set(0, 0, dense.At(0, 0)+1)
		rhs := make([]float64, n)
		for i := range rhs {
			rhs[i] = r.NormFloat64()
		}
		f := p.newFactor()
		if !f.compute(diagonal, values) {
			t.Fatalf("seed %d: not positive definite", seed)
		}
		got := make([]float64, n)
		f.solve(rhs, got)
		var want, inverse mat.Dense
		// Dense elimination loses digits on such a spread of conductances, so
		// the tolerance is that of the worse of the two.
		if err := want.Solve(dense, mat.NewDense(n, 1, append([]float64(nil), rhs...))); err != nil {
			if _, bad := err.(mat.Condition); !bad {
				t.Fatal(err)
			}
		}
		for i := range got {
			if math.Abs(got[i]-want.At(i, 0)) > 1e-5*(1+math.Abs(want.At(i, 0))) {
				t.Errorf("seed %d: x[%d] = %v, dense %v", seed, i, got[i], want.At(i, 0))
			}
		}
		_ = inverse.Inverse(dense)
		for range 5 {
			i, j := r.IntN(n), r.IntN(n)
			z := f.product(f.forward(Node(i)), f.forward(Node(j)))
			if math.Abs(z-inverse.At(i, j)) > 1e-5*(1+math.Abs(z)) {
				t.Errorf("seed %d: inverse[%d,%d] = %v, dense %v", seed, i, j, z, inverse.At(i, j))
			}
		}
	}
}

// A matrix that is not positive definite is refused, not solved.
func TestFactorRefusesIndefinite(t *testing.T) {
	edges := []*Edge{{From: 0, To: 1}}
	p := newPattern(2, edges)
	if p.newFactor().compute([]float64{1, 1}, []float64{2}) {
		t.Error("an indefinite matrix was factorised")
	}
	if p.newFactor().compute([]float64{0, 1}, []float64{0}) {
		t.Error("a singular matrix was factorised")
	}
}

// The fill of tree-like networks stays in proportion to their size.
func BenchmarkFactorise(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			r := rand.New(rand.NewPCG(1, 2))
			edges, g := randomNetwork(r, n, n/50)
			p := newPattern(n, edges)
			diagonal := make([]float64, n)
			values := make([]float64, p.values)
			for k, e := range edges {
				if e.From != e.To {
					diagonal[e.From] += g[k]
					diagonal[e.To] += g[k]
					values[p.edge[k]] -= g[k]
				}
			}
			diagonal[0]++
			f := p.newFactor()
			for b.Loop() {
				f.compute(diagonal, values)
			}
			b.ReportMetric(float64(p.values)/float64(n), "entries/node")
		})
	}
}
