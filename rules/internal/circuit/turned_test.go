package circuit

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema"
)

// withDiodes is a network of studs with wires, batteries and diodes between them at
// random, in several parts that a wire or a diode may join.
func withDiodes(t *testing.T, r *rand.Rand) *Network {
	t.Helper()
	type object = map[string]any
	studs, wires, batteries, diodes := object{}, object{}, object{}, object{}
	const count = 12
	stud := func() string { return fmt.Sprintf("s%d.stud", r.IntN(count)) }
	wire := func(from, to string) {
		wires[fmt.Sprintf("w%d", len(wires))] = object{"from": from, "to": to, "size": "10 mm2", "length_m": 0.1 + r.Float64(), "insulation": object{"max_C": 105}}
	}
	for i := range count {
		studs[fmt.Sprintf("s%d", i)] = object{}
	}
	for range count {
		wire(stud(), stud())
	}
	for i := range 3 {
		id := fmt.Sprintf("b%d", i)
		batteries[id] = object{"role": "traction", "min_V": 40 + 4*r.Float64(), "nominal_V": 48, "max_V": 54 + 4*r.Float64(), "resistance_mOhm": 5 + 20*r.Float64()}
		wire(id+".pos", stud())
		wire(id+".neg", "s0.stud")
	}
	for i := range 7 {
		id := fmt.Sprintf("d%d", i)
		diodes[id] = object{"reverse_V": 200, "continuous_A": 100}
		wire(id+".anode", stud())
		wire(id+".cathode", stud())
	}
	text, err := json.Marshal(object{"headroom": 1, "vehicle": object{"name": "random", "use": "off-road", "chassis": "isolated"},
		"studs": studs, "wires": wires, "batteries": batteries, "diodes": diodes, "modes": object{"off": object{}}})
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "random.json")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil || len(targets) != 1 {
		t.Fatal(targets, err)
	}
	l := schema.Read(t.Context(), targets[0], schema.Options{})
	if l.Err != nil || l.Spec == nil {
		t.Fatal(l.Err, l.Problems)
	}
	return New(l.Spec)
}

// A network with some diodes turned is, to the last digit, the one that is built with
// them as they then are.
func TestTurnedIsTheSameNetwork(t *testing.T) {
	compared := 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 1))
		n := withDiodes(t, r)
		for _, k := range []FaultCase{{Greatest: true}, {}, {Greatest: true, Prospective: true}} {
			rest := n.beforeFault(k)
			if rest == nil {
				continue
			}
			c := rest.state
			for range 1 + r.IntN(3) {
				c = c.turn([]*Edge{n.diodes[r.IntN(len(n.diodes))]})
			}
			got, want := n.turned(rest, c), n.buildThevenin(c)
			if (got == nil) != (want == nil) {
				t.Fatalf("seed %d: turned %v, built %v", seed, got != nil, want != nil)
			}
			if got == nil {
				continue
			}
			for v := range Node(n.Nodes()) {
				w := Node(r.IntN(n.Nodes()))
				for what, pair := range map[string][2]float64{
					"voltage":          {got.volts(v), want.volts(v)},
					"entry of inverse": {got.product(got.column(v), got.column(w)), want.product(want.column(v), want.column(w))},
				} {
					if pair[0] != pair[1] {
						t.Fatalf("seed %d, node %d: %s %v, built anew %v", seed, v, what, pair[0], pair[1])
					}
					compared++
				}
				if diff := cmp.Diff(ids(want.fault(v, w).Way()), ids(got.fault(v, w).Way())); diff != "" {
					t.Fatalf("seed %d: way round from %d to %d (-built anew +turned):\n%s", seed, v, w, diff)
				}
			}
			for _, e := range n.Edges {
				if a, b := got.conducts(e), want.conducts(e); a != b {
					t.Fatalf("seed %d: %s conducts %v S, built anew %v S", seed, e.ID, a, b)
				}
			}
		}
	}
	if compared < 5000 {
		t.Errorf("only %d numbers compared", compared)
	}
}

// A short circuit changes nothing at the diodes that do not lie between its ends, and
// those that do are found.
func TestDiodesBetween(t *testing.T) {
	felt, not := 0, 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 2))
		n := withDiodes(t, r)
		rest := n.beforeFault(FaultCase{})
		if rest == nil {
			continue
		}
		for range 20 {
			a, b := Node(r.IntN(n.Nodes())), Node(r.IntN(n.Nodes()))
			f := rest.fault(a, b)
			between := map[*Edge]bool{}
			for _, e := range n.diodesBetween(a, b) {
				between[e] = true
			}
			if math.Abs(f.BatteriesA) < 1 {
				continue
			}
			for _, e := range n.diodes {
				before := rest.volts(e.From) - rest.volts(e.To)
				if change := math.Abs(f.volts(e.From) - f.volts(e.To) - before); change < 1e-9*(1+math.Abs(before)) {
					continue
				}
				if !between[e] {
					t.Errorf("seed %d: a short circuit from %d to %d changes the voltage over %s, which is not between them", seed, a, b, e.ID)
				}
				felt++
			}
			not += len(n.diodes) - len(between)
		}
	}
	if felt < 200 || not < 200 {
		t.Errorf("diodes felt %d times, not asked %d times", felt, not)
	}
}
