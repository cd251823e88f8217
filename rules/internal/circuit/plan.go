package circuit

import (
	"slices"
	"strings"

	"example.org/headroom/schema"
)

// plan is what all solutions of a network have in common: its elements, and what
// moves contacts and converters. It is made once, so that a solution looks
// nothing up by id in its iterations.
type plan struct {
	elements   []element
	varying    []int // elements whose law the case or the state decides
	coils      []coilMover
	converters []converterMover
	coilOf     map[string]int // place in coils of a contactor or relay
	// movers lists coils, and after the last of them converters, in the order of
	// the ids of their parts.
	movers []int
	joined unionFind // what conductors join, as roots
}

// element is an edge that is no conductor.
type element struct {
	*Edge
	fixed  law  // in every case, or where it is closed or on
	mover  int  // the place of its coil in coils, or of its converter in converters
	breaks bool // whether it is a contact that opens when its coil operates
}

// coilMover is the coil of a contactor or relay.
type coilMover struct {
	id   string
	coil *Edge
}

// converterMover is a converter, with what decides whether it runs and what it
// takes.
type converterMover struct {
	id          string
	in, out     *Edge
	start, stop float64 // V at its input
	limitA      float64
	efficiency  float64 // percent
	standbyA    float64
	auxiliary   bool // see hasAuxiliary
	enable      Node // nowhere if it is not used
}

// conductors is how many edges are conductors; the elements follow them.
func (p *plan) conductors(n *Network) int { return len(n.Edges) - len(p.elements) }

// place is where an edge that is no conductor stands among the elements.
func (p *plan) place(n *Network, e *Edge) int { return e.index - p.conductors(n) }

func (n *Network) newPlan() *plan {
	p := &plan{coilOf: map[string]int{}}
	first := slices.IndexFunc(n.Edges, func(e *Edge) bool { return !e.IsConductor() })
	if first < 0 {
		first = len(n.Edges)
	}
	p.joined = newUnionFind(n.Nodes())
	for _, e := range n.Edges[:first] {
		if !n.carriesNothing(e) {
			p.joined.union(int(e.From), int(e.To))
		}
	}
	p.joined.flatten()
	n.planMovers(p)
	converter := map[string]int{}
	for i, c := range p.converters {
		converter[c.id] = i
	}
	for _, e := range n.Edges[first:] {
		x := element{Edge: e}
		switch e.Kind {
		case ContactEdge, CoilEdge:
			x.mover, x.breaks = p.coilOf[e.Part], n.breaks(e)
		case ConverterInput, ConverterOutput:
			x.mover = converter[e.Part]
		}
		if !n.carriesNothing(e) {
			var always bool
			if x.fixed, always = n.fixedLaw(e); !always {
				p.varying = append(p.varying, len(p.elements))
			}
		}
		p.elements = append(p.elements, x)
	}
	return p
}

// breaks reports whether a contact is closed as long as its coil has not operated.
func (n *Network) breaks(e *Edge) bool {
	if e.ID == e.Part+".aux" {
		return n.auxiliary(e.Part).Form == "nc"
	}
	return e.ID == e.Part+".nc"
}

// auxiliary is the auxiliary contact of a contactor or relay, nil if it has none.
func (n *Network) auxiliary(id string) *schema.Auxiliary {
	if k, ok := n.Spec.Contactors[id]; ok {
		return k.Auxiliary
	}
	if r, ok := n.Spec.Relays[id]; ok {
		return r.Auxiliary
	}
	return nil
}

// carriesNothing reports whether an edge is out of the network; see Mended.
func (n *Network) carriesNothing(e *Edge) bool { return n.out[e.Part] || n.out[e.ID] }

func (n *Network) planMovers(p *plan) {
	var ids []string
	for id := range n.Spec.Contactors {
		ids = append(ids, id)
	}
	for id := range n.Spec.Relays {
		ids = append(ids, id)
	}
	for id := range n.Spec.Timers {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for i, id := range ids {
		p.coils = append(p.coils, coilMover{id, n.byID[id+".coil"]})
		p.coilOf[id] = i
	}
	for id, c := range schema.Sorted(n.Spec.Converters) {
		limit, _ := n.ConverterLimitA(id)
		stop := c.Input.StopV.Or(c.Input.MinV)
		m := converterMover{id: id, in: n.byID[id+".in"], out: n.byID[id+".out"],
			stop: stop, start: max(stop, c.Input.StartV.Or(c.Input.MinV)), limitA: limit,
			efficiency: c.EfficiencyPercent.Or(n.Spec.Policy.ConverterEfficiency),
			standbyA:   c.Input.StandbyMA.Or(0) / 1000, auxiliary: n.hasAuxiliary(id), enable: nowhere}
		if n.Connected(id + ".enable") {
			m.enable, _ = n.Node(id + ".enable")
		}
		p.converters = append(p.converters, m)
		ids = append(ids, id)
	}
	p.movers = make([]int, len(ids))
	for i := range ids {
		p.movers[i] = i
	}
	slices.SortFunc(p.movers, func(a, b int) int { return strings.Compare(ids[a], ids[b]) })
}

// moverID is the id of the part of a mover; see plan.movers.
func (p *plan) moverID(i int) string {
	if i < len(p.coils) {
		return p.coils[i].id
	}
	return p.converters[i-len(p.coils)].id
}

// wiring is the conductors of a network at one temperature.
type wiring struct {
	conductance []float64 // by conductor, S; 0 for one that carries nothing
	// What they add up to in the equations, where all else is added to it.
	diagonal, values []float64
}

// wiringAt returns the conductors at a temperature in C.
func (n *Network) wiringAt(temperature float64) *wiring {
	return n.wirings.get(temperature, func() *wiring {
		p := n.plan()
		m := &wiring{conductance: make([]float64, p.conductors(n)),
			diagonal: make([]float64, n.Nodes()), values: make([]float64, n.pattern.values)}
		for k := range m.conductance {
			e := n.Edges[k]
			if n.carriesNothing(e) {
				continue
			}
			g := ohms(n.ConductorResistance(e.ID, temperature)).g
			m.conductance[k] = g
			if e.From == e.To {
				continue
			}
			m.diagonal[e.From] += g
			m.diagonal[e.To] += g
			m.values[n.pattern.edge[k]] -= g
		}
		return m
	})
}
