package circuit

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"example.org/headroom/schema"
)

// bed is a network of batteries and resistors between studs in the making.
type bed struct {
	*schema.Spec
	joints int
}

func newBed(studs int) *bed {
	b := &bed{Spec: &schema.Spec{
		Vehicle:   schema.Vehicle{AmbientC: schema.Span{Min: 20, Max: 20}},
		Policy:    schema.Policy{BatteryResistanceMin: 1, BatteryResistanceMax: 1, TerminalMaxC: 90, CoilLimitC: 130},
		Batteries: map[string]*schema.Battery{}, Resistors: map[string]*schema.Resistor{},
		Studs: map[string]*schema.Stud{}, Wires: map[string]*schema.Wire{}, Modes: map[string]*schema.Mode{"use": {ID: "use"}},
	}}
	for i := range studs {
		id := fmt.Sprintf("n%d", i)
		b.Studs[id] = &schema.Stud{Base: schema.Base{Kind: "studs", ID: id}}
	}
	return b
}

func (b *bed) wire(from, to string) {
	id := fmt.Sprintf("w%d", len(b.Wires))
	b.Wires[id] = &schema.Wire{Conductor: schema.Conductor{Base: schema.Base{ID: id, Kind: "wires"}, From: from, To: to}, Size: "2.5 mm2", LengthM: 1}
}

func (b *bed) battery(from, to int, ohm float64) {
	id := fmt.Sprintf("b%d", len(b.Batteries))
	b.Batteries[id] = &schema.Battery{Base: schema.Base{Kind: "batteries", ID: id}, Role: "traction", MinV: 40, NominalV: 48, MaxV: 56,
		ResistanceMOhm: schema.Range{Typ: schema.Some(1000 * ohm)}}
	b.wire(fmt.Sprintf("n%d.stud", from), id+".pos")
	b.wire(id+".neg", fmt.Sprintf("n%d.stud", to))
}

func (b *bed) resistor(from, to int, ohm float64) {
	id := fmt.Sprintf("r%d", len(b.Resistors))
	b.Resistors[id] = &schema.Resistor{Base: schema.Base{Kind: "resistors", ID: id}, ResistanceOhm: ohm}
	b.wire(fmt.Sprintf("n%d.stud", from), id+".a")
	b.wire(id+".b", fmt.Sprintf("n%d.stud", to))
}

// spreadNetwork returns a network of which every third part is a battery: a tree and some
// more of them, with resistances from a power of ten of an ohm up to a hundred megaohms.
func spreadNetwork(r *rand.Rand, studs, least int) *Network {
	b := newBed(studs)
	for i := 1; i < studs+studs/2; i++ {
		from, to := i, r.IntN(min(i, studs))
		if i >= studs {
			from = r.IntN(studs)
		}
		ohm := math.Pow(10, float64(least)+float64(8-least)*r.Float64())
		if i%3 == 1 {
			b.battery(from, to, ohm)
		} else {
			b.resistor(from, to, ohm)
		}
	}
	return New(b.Spec)
}

// exactVolts solves a network of resistances and batteries in exact arithmetic
// (Gauss, without a thought for speed), and returns the voltage across every edge.
func exactVolts(n *Network) []float64 {
	s := newSolver(n)
	s.begin(Case{Mode: "use"})
	s.prepare()
	s.connect()
	size := n.Nodes()
	a := make([][]*big.Rat, size)
	for i := range a {
		a[i] = make([]*big.Rat, size+1)
		for j := range a[i] {
			a[i][j] = new(big.Rat)
		}
	}
	stamp := func(e *Edge, g, emf float64) {
		if e.From == e.To || g == 0 {
			return
		}
		x, i0 := new(big.Rat).SetFloat64(g), new(big.Rat)
		i0.Mul(x, new(big.Rat).SetFloat64(emf))
		f, t := int(e.From), int(e.To)
		a[f][f].Add(a[f][f], x)
		a[t][t].Add(a[t][t], x)
		a[f][t].Sub(a[f][t], x)
		a[t][f].Sub(a[t][f], x)
		a[f][size].Add(a[f][size], i0)
		a[t][size].Sub(a[t][size], i0)
	}
	for k, g := range s.wiring.conductance {
		stamp(n.Edges[k], g, 0)
	}
	for j := range s.elements {
		stamp(s.elements[j].Edge, s.laws[j].g, s.laws[j].e)
	}
	for _, v := range s.pinned {
		a[v][v].Add(a[v][v], big.NewRat(1, 1))
	}
	for c := range size {
		for r := c; r < size; r++ {
			if a[r][c].Sign() != 0 {
				a[c], a[r] = a[r], a[c]
				break
			}
		}
		for r := range size {
			if r == c || a[r][c].Sign() == 0 {
				continue
			}
			l := new(big.Rat).Quo(a[r][c], a[c][c])
			for k := c; k <= size; k++ {
				if a[c][k].Sign() != 0 {
					a[r][k].Sub(a[r][k], new(big.Rat).Mul(l, a[c][k]))
				}
			}
		}
	}
	volts := make([]*big.Rat, size)
	for v := range volts {
		volts[v] = new(big.Rat).Quo(a[v][size], a[v][v])
	}
	out := make([]float64, len(n.Edges))
	for i, e := range n.Edges {
		out[i], _ = new(big.Rat).Sub(volts[e.From], volts[e.To]).Float64()
	}
	return out
}

// A circuit is solved to the digits promised, or says that it is not: held against exact
// arithmetic over networks whose resistances lie up to twenty decades apart.
func TestWrongNumbersAreNotSolutions(t *testing.T) {
	solved, refused := map[int]int{}, map[int]int{}
	for _, least := range []int{-4, -8, -12, -16} {
		for seed := range uint64(40) {
			r := rand.New(rand.NewPCG(seed, uint64(-least)))
			n := spreadNetwork(r, 4+r.IntN(5), least)
			got := n.Solve(Case{Mode: "use"})
			if got.Failed != "" {
				refused[least]++
				continue
			}
			solved[least]++
			want := exactVolts(n)
			for i, e := range n.Edges {
				if v := got.over(e); !(math.Abs(v-want[i]) <= maxCorrection*(1+math.Abs(want[i]))) {
					t.Errorf("from 1e%d Ohm, seed %d: %.9g V across %s, exactly it is %.9g", least, seed, v, e.ID, want[i])
				}
			}
		}
	}
	t.Logf("solved %v, refused %v, by the exponent of the least resistance", solved, refused)
	if refused[-4] > 0 {
		t.Error("circuits such as those of vehicles are refused")
	}
	if refused[-16] < 10 {
		t.Error("hardly any circuit is ill-conditioned: the test shows nothing")
	}
}

// A battery of a nano-ohm, or of less, beside a gigaohm in one loop: what flows is less than the
// rounding of its voltage over its resistance.
func TestNanoOhmBesideGigaohm(t *testing.T) {
	for _, ohm := range []float64{1e-9, 1e-10, 1e-12} {
		for _, beside := range []float64{1e3, 1e6, 1e9} {
			b := newBed(3)
			b.battery(0, 1, ohm)
			b.resistor(0, 2, beside)
			b.resistor(2, 1, beside)
			n := New(b.Spec)
			got := n.Solve(Case{Mode: "use"})
			t.Logf("%g beside %g Ohm: %q", ohm, beside, got.Failed)
			if got.Failed != "" {
				continue
			}
			want := exactVolts(n)
			for i, e := range n.Edges {
				if v := got.over(e); !(math.Abs(v-want[i]) <= maxCorrection*(1+math.Abs(want[i]))) {
					t.Errorf("%g beside %g Ohm: %.9g V across %s, exactly it is %.9g", ohm, beside, v, e.ID, want[i])
				}
			}
		}
	}
}
