package circuit

import (
	"cmp"
	"slices"
)

// ties reports whether a diode or resistor that is entered from a node leads
// over to the other side: behind it, metal alone leads to the other pole. It is
// then a part through which a loop closes, such as a heater, or a diode the
// wrong way round, and no way by which anything is fed or returned.
func (p *protection) ties(e *Edge, enter Node, name Side) bool {
	here, there := p.plain[Positive], p.plain[Negative]
	if name == Negative {
		here, there = there, here
	}
	v := e.Other(enter)
	return there.has(v) && !here.has(v)
}

// plainCost is cost over metal and fuses, without diodes.
func (p *protection) plainCost(name Side) func(*Edge, Node) (float64, bool) {
	cost := p.cost(name, true, noResistor)
	return func(e *Edge, enter Node) (float64, bool) {
		if e.Kind == DiodeEdge {
			return 0, false
		}
		return cost(e, enter)
	}
}

// gatesOf finds the resistor that lies on every way to a conductor, or to all
// that feeds what it returns, or else those that lie around it.
func (p *protection) gatesOf(g Guard, here, there *side) []Gate {
	if id, amperes := p.gateOf(g, here, there); id != "" {
		return []Gate{{id, amperes}}
	}
	return p.gatesAround(g.Far)
}

// gatesAround lists the resistors around the metal of a node, where that metal, fuses and
// closed contacts included, leads to nothing that feeds or draws but through them, as the
// link between two resistors in series.
func (p *protection) gatesAround(at Node) (gates []Gate) {
	seen, queue := map[Node]bool{at: true}, []Node{at}
	for len(queue) > 0 {
		v := queue[0]
		queue = queue[1:]
		for _, e := range p.at[v] {
			switch {
			case e.Conducts():
				if next := e.Other(v); !seen[next] {
					seen[next] = true
					queue = append(queue, next)
				}
			case e.Kind == ResistorEdge && e.ID == e.Part:
				gate := Gate{e.Part, p.source.StringV / p.Spec.Resistors[e.Part].ResistanceOhm}
				if !slices.Contains(gates, gate) {
					gates = append(gates, gate)
				}
			default:
				return nil
			}
		}
	}
	slices.SortFunc(gates, func(a, b Gate) int { return cmp.Compare(a.Resistor, b.Resistor) })
	return gates
}

// gateOf finds that resistor where there is one.
func (p *protection) gateOf(g Guard, here, there *side) (id string, amperes float64) {
	if id, amperes = p.gate(here, g.Far); id != "" {
		return id, amperes
	}
	for i, v := range g.Returns {
		other, a := p.gate(there, v)
		if other == "" || i > 0 && other != id {
			return "", 0
		}
		id, amperes = other, a
	}
	return id, amperes
}

// gate finds the resistor that lies on every way to a node and lets the least
// through.
func (p *protection) gate(s *side, v Node) (id string, amperes float64) {
	d := s.trickled
	if !d.has(v) || s.metal.has(v) {
		return "", 0
	}
	for x := d.idom[v]; x != int(s.root); x = d.idom[x] {
		if x < d.nodes || p.Edges[x-d.nodes].Kind != ResistorEdge {
			continue
		}
		part := p.Edges[x-d.nodes].Part
		if a := p.source.StringV / p.Spec.Resistors[part].ResistanceOhm; id == "" || a < amperes {
			id, amperes = part, a
		}
	}
	return id, amperes
}

// rowEnds lists where rows of diodes and resistors that begin beyond a conductor
// meet metal of the other side, whichever way they conduct. A lead that nothing
// but such a row hangs on, as of a suppression across a coil, lies beside what is
// at the row's other end; not beside what hangs on the rail from which the conductor
// comes.
func (p *protection) rowEnds(conductor *Edge, here *side, beyond branch, there *side) []Node {
	var roots []Node
	here.beyond(beyond, len(here.rows), func(i int) Node { return here.rows[i] }, func(i int) { roots = append(roots, here.rows[i]) })
	if len(roots) == 0 {
		return nil
	}
	metal := p.plain[there.name]
	found := p.borrowReached()
	defer p.giveBack(found)
	p.Network.search(found, roots, nowhere, func(e *Edge, enter Node) (float64, bool) {
		return 0, e != conductor && !metal.has(enter) && (e.IsConductor() || p.inChain(e))
	})
	var out []Node
	for _, v := range found.nodes {
		if metal.has(v) {
			out = append(out, v)
		}
	}
	return sortedNodes(out)
}
