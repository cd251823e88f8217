package oracle

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Solution holds the voltages and currents of a solved case.
type Solution struct {
	volts   map[string]float64
	amps    map[string]float64
	closed  map[string]bool
	islands map[string]int // between two of them there is no voltage to speak of
	gates   []gate
	Settled bool // states and currents came to rest
}

// Volts is the voltage from one terminal to another; 0 for what is connected
// to nothing.
func (s Solution) Volts(a, b string) float64 {
	if i, ok := s.islands[a]; !ok || i != s.islands[b] {
		return 0
	}
	return s.volts[a] - s.volts[b]
}

// Amps is the current through a part, pole (switch.pole) or conductor, from
// its first terminal to its second.
func (s Solution) Amps(id string) float64 { return s.amps[id] }

// Closed reports whether a contactor or relay is pulled in, or a diode conducts.
func (s Solution) Closed(id string) bool { return s.closed[id] }

type solver struct {
	*network
	volts  []float64
	island []int // of each node
}

func (s *solver) across(a, b string) float64 {
	i, ok := s.nodes[a]
	j, too := s.nodes[b]
	if !ok || !too || s.island == nil || s.island[i] != s.island[j] {
		return 0
	}
	return s.volts[i] - s.volts[j]
}

// Solve solves a case. With controllers at work, contacts first find their
// state without them, for they start at rest.
func (v *Vehicle) Solve(c Case) Solution {
	return v.memo.solutions.get(fmt.Sprint(c), func() Solution {
		out := v.solve(c)
		for _, id := range v.IDs("converters") {
			// With its converter off a network lives off its battery.
			if !c.Alone && !c.Gone[id] && !out.closed[id] {
				alone := c
				alone.Alone = true
				return v.solve(alone)
			}
		}
		return out
	})
}

func (v *Vehicle) solve(c Case) Solution {
	n := build(v, c)
	if !c.Idle && !c.Fixed {
		// The vehicle comes to rest before its controllers draw.
		rest := c
		rest.Idle = true
		n.begin(v.solve(rest))
	}
	s := &solver{network: n, volts: make([]float64, len(n.nodes))}
	n.solved, s.island = s.volts, make([]int, len(n.nodes))
	settled := s.settle()
	out := Solution{volts: map[string]float64{}, amps: map[string]float64{}, closed: map[string]bool{}, islands: map[string]int{}, Settled: settled}
	for terminal, i := range n.nodes {
		out.volts[terminal] = s.volts[i]
		out.islands[terminal] = s.island[i]
	}
	for _, e := range n.edges {
		out.amps[e.id] += e.g*(s.volts[e.a]-s.volts[e.b]) + e.i
	}
	for _, g := range n.gates {
		out.closed[g.id] = g.closed
		if g.closed {
			out.amps[g.id] = g.g * (s.volts[g.a] - s.volts[g.b] - g.drop)
		}
	}
	out.gates = n.gates
	return out
}

// begin sets contacts and converters to the states of a solution.
func (n *network) begin(s Solution) {
	for i := range n.gates {
		n.gates[i].closed, n.gates[i].energised = s.gates[i].closed, s.gates[i].energised
	}
}

// settle looks for states and currents that agree.
func (s *solver) settle() bool {
	for range 24 {
		if !s.currents() {
			return false
		}
		changed := false
		for i := range s.gates {
			g := &s.gates[i]
			if g.control == nil {
				continue
			}
			want, energised := g.control(s, g.energised)
			changed = changed || want != g.closed
			g.closed, g.energised = want, energised
		}
		if !changed {
			return true
		}
	}
	return false
}

// island is a part of the circuit that conductances join. Nothing flows
// between islands, so each has a ground of its own: its first node.
type island struct {
	nodes  []int
	factor mat.Cholesky
}

// islands numbers the nodes by island and factorises each.
func (s *solver) islands() (all []*island, of, row []int, ok bool) {
	root := make([]int, len(s.nodes))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	branches := make([]edge, 0, len(s.edges)+len(s.gates))
	for _, e := range s.edges {
		if e.g > 0 {
			branches = append(branches, e)
		}
	}
	for _, g := range s.gates {
		if g.closed {
			branches = append(branches, g.edge)
		}
	}
	for _, e := range branches {
		root[find(e.a)] = find(e.b)
	}
	number := map[int]int{}
	of, row = make([]int, len(root)), make([]int, len(root))
	for i := range root {
		r := find(i)
		k, known := number[r]
		if !known {
			k = len(all)
			number[r] = k
			all = append(all, &island{})
		}
		of[i], row[i] = k, len(all[k].nodes)
		all[k].nodes = append(all[k].nodes, i)
	}
	matrices := make([]*mat.SymDense, len(all))
	for k, island := range all {
		matrices[k] = mat.NewSymDense(len(island.nodes), nil)
		matrices[k].SetSym(0, 0, 1) // the ground; no current flows through it
	}
	for _, e := range branches {
		m, a, b := matrices[of[e.a]], row[e.a], row[e.b]
		if a == b {
			continue
		}
		m.SetSym(a, a, m.At(a, a)+e.g)
		m.SetSym(b, b, m.At(b, b)+e.g)
		m.SetSym(a, b, m.At(a, b)-e.g)
	}
	for k, island := range all {
		if len(island.nodes) > 1 && !island.factor.Factorize(matrices[k]) {
			return nil, nil, nil, false
		}
	}
	return all, of, row, true
}

// currents iterates over what draws by voltage, with all states as they are.
func (s *solver) currents() bool {
	all, of, row, ok := s.islands()
	if !ok {
		return false
	}
	s.island = of
	right := make([]*mat.VecDense, len(all))
	volts := make([]*mat.VecDense, len(all))
	for k, island := range all {
		right[k], volts[k] = mat.NewVecDense(len(island.nodes), nil), mat.NewVecDense(len(island.nodes), nil)
	}
	for round := range 600 {
		// The stiffer the source, the larger the step that still settles.
		step := 0.7 * math.Pow(0.5, float64(round/60))
		for k := range all {
			right[k].Zero()
		}
		inject := func(a, b int, i float64) {
			right[of[a]].SetVec(row[a], right[of[a]].AtVec(row[a])-i)
			right[of[b]].SetVec(row[b], right[of[b]].AtVec(row[b])+i)
		}
		worst := 0.0
		for k := range s.edges {
			e := &s.edges[k]
			if e.draw != nil {
				now := 0.0
				if of[e.a] == of[e.b] { // else its circuit is open
					now = e.draw(s.volts[e.a] - s.volts[e.b])
				}
				worst = max(worst, math.Abs(now-e.i)/(1e-3+math.Abs(now)))
				e.i += step * (now - e.i)
				if of[e.a] != of[e.b] {
					e.i = 0
				}
			}
			inject(e.a, e.b, e.i)
		}
		for _, g := range s.gates {
			if g.closed && g.drop != 0 {
				inject(g.a, g.b, -g.g*g.drop)
			}
		}
		moved := 0.0
		for k, island := range all {
			if len(island.nodes) == 1 {
				s.volts[island.nodes[0]] = 0
				continue
			}
			if err := island.factor.SolveVecTo(volts[k], right[k]); err != nil {
				if _, condition := err.(mat.Condition); !condition {
					return false
				}
			}
			for r, i := range island.nodes {
				u := volts[k].AtVec(r) - volts[k].AtVec(0)
				moved = max(moved, math.Abs(u-s.volts[i]))
				s.volts[i] = u
			}
		}
		if moved < 1e-6 && worst < 1e-4 {
			return true
		}
	}
	return false
}

// converter adds a converter: at its output a voltage behind its resistance,
// with a current limit; at its input the power that this takes.
func (n *network) converter(id string) {
	v, path := n.v, "converters."+id
	if !v.True(path + ".isolated") {
		n.resistor(id+":common", id+".in_neg", id+".out_neg", 1e-5)
	}
	if n.c.Probe {
		n.resistor(id+":probe", id+".in_pos", id+".in_neg", 1000)
	}
	if n.c.Alone || n.c.Short[0] != "" {
		return
	}
	var (
		volts      = v.Number(path+".output.nominal_V", 0)
		limit      = v.Limit(id)
		ohms       = v.Number("policy.converter_output_mOhm", 1) / 1000
		efficiency = v.Number(path+".efficiency_percent", v.Number("policy.converter_efficiency_percent", 85)) / 100
		lowest     = v.Number(path+".input.stop_V", v.Number(path+".input.min_V", 0))
		standby    = v.Number(path+".input.standby_mA", 0) / 1000
	)
	in := [2]int{n.node(id + ".in_pos"), n.node(id + ".in_neg")}
	out := gate{
		edge: edge{id: id, a: n.node(id + ".out_neg"), b: n.node(id + ".out_pos"), g: 1 / ohms},
		drop: -volts,
	}
	out.control = func(s *solver, _ bool) (bool, bool) {
		u := s.volts[in[0]] - s.volts[in[1]]
		enabled := len(v.At(id+".enable")) == 0 || s.across(id+".enable", id+".in_neg") > 3
		return u >= lowest && enabled, false
	}
	n.gates = append(n.gates, out)
	index := len(n.gates) - 1
	n.edges = append(n.edges, edge{id: id + ":in", a: in[0], b: in[1], draw: nil})
	feed := &n.edges[len(n.edges)-1]
	a, b := out.a, out.b
	feed.draw = func(u float64) float64 {
		if !n.gates[index].closed || u < 1 {
			return 0
		}
		amps := n.lastOut(a, b, volts, ohms)
		return min(max(amps, 0), limit)*volts/efficiency/u + standby
	}
}

// lastOut is the output current of a converter in the last solution.
func (n *network) lastOut(a, b int, volts, ohms float64) float64 {
	if n.solved == nil {
		return 0
	}
	return (volts - (n.solved[b] - n.solved[a])) / ohms
}

// Limit is the current limit of a converter, A.
func (v *Vehicle) Limit(converter string) float64 {
	path := "converters." + converter + ".output"
	peak := v.Number(path+".peak_A", v.Number(path+".continuous_A", 0))
	return v.Number(path+".limit_A", v.Number("policy.converter_limit_factor", 1.1)*peak)
}
