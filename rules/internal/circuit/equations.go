package circuit

import (
	"fmt"
	"math"
)

// sort lists the elements by what their present laws are, and finds what those
// without regions tie together.
func (s *solver) sort() {
	s.live, s.curved, s.steps, s.junctions = s.live[:0], s.curved[:0], s.steps[:0], false
	copy(s.tied, s.joined)
	for j := range s.elements {
		e, l := &s.elements[j], &s.laws[j]
		stores := s.store != nil && s.store[j] > 0
		if l.form == open && !stores {
			continue
		}
		if e.From != e.To {
			s.live = append(s.live, j)
		}
		switch l.form {
		case open, resistor:
		case floating, limited:
			s.steps = append(s.steps, j)
			s.curved = append(s.curved, j)
		default:
			s.curved = append(s.curved, j)
			s.junctions = s.junctions || l.form == junction
		}
		if stores || l.form == resistor || l.form == emf || l.form == junction {
			s.tied.union(int(e.From), int(e.To))
		}
	}
}

// connect finds which nodes are galvanically together in the present state,
// and one node of each such part to hold at zero.
func (s *solver) connect() {
	copy(s.together, s.tied)
	for _, j := range s.steps {
		if s.laws[j].connects() {
			s.together.union(int(s.elements[j].From), int(s.elements[j].To))
		}
	}
	s.together.flatten()
	s.pinned = s.pinned[:0]
	clear(s.marks)
	for _, v := range s.reference {
		if root := s.together[v]; !s.marks[root] {
			s.marks[root] = true
			s.pinned = append(s.pinned, v)
		}
	}
}

// linear assembles and solves the linearised equations; unloaded leaves out
// everything that draws or feeds a current of its own.
func (s *solver) linear(unloaded bool) error {
	ok := s.assemble(unloaded, false)
	if !ok {
		// The falling law of a constant-power load outweighs its supply: take
		// it as a plain current for this step, which keeps the equations definite.
		ok = s.assemble(unloaded, true)
	}
	if !ok {
		return fmt.Errorf("the network's equations are too ill-conditioned to trust")
	}
	s.last.solve(s.rhs, s.v)
	return nil
}

// assemble sets up and factorises the linearised equations.
func (s *solver) assemble(unloaded, flat bool) bool {
	if s.last == nil {
		s.last = s.pattern.newFactor()
	}
	copy(s.diagonal, s.wiring.diagonal)
	copy(s.values, s.wiring.values)
	clear(s.rhs)
	for _, j := range s.live {
		l, e := &s.laws[j], s.elements[j].Edge
		if !s.active(e) {
			continue
		}
		memory, i1 := s.companion(j)
		var i0, g float64
		if !unloaded || l.connects() {
			i0, g = l.of(l.at)
			if g < 0 && flat {
				g = 0
			}
			i0 -= g * l.at
		} else if memory == 0 {
			continue
		}
		g += memory
		i0 += i1
		s.diagonal[e.From] += g
		s.diagonal[e.To] += g
		s.values[s.pattern.edge[e.index]] -= g
		s.rhs[e.From] -= i0
		s.rhs[e.To] += i0
	}
	s.pin()
	return s.last.compute(s.diagonal, s.values) && s.last.cancellation(s.diagonal) < maxCancellation
}

// companion is what stands for the capacitors across an element over the present
// step of time: a conductance, and the current at no voltage that is their
// memory.
func (s *solver) companion(j int) (g, i0 float64) {
	if s.store != nil {
		g, i0 = s.store[j], -s.store[j]*s.stored[j]
	}
	if s.hold > 0 && s.laws[j].hasCapacitor() {
		g, i0 = g+s.hold, i0-s.hold*s.held[j]
	}
	return g, i0
}

// flows is the current of an element: that of its law, and that of its capacitor.
func (s *solver) flows(j int) float64 {
	if !s.active(s.elements[j].Edge) {
		return 0
	}
	v := s.across(j)
	i, _ := s.laws[j].of(v)
	g, i0 := s.companion(j)
	return i + g*v + i0
}

// active reports whether an element has a way back for its current, as one that
// ties its ends together always has.
func (s *solver) active(e *Edge) bool { return s.together[e.From] == s.together[e.To] }

// pin ties one node of each galvanic part to zero. No current flows there,
// since the part has no other way to it.
func (s *solver) pin() {
	for _, v := range s.pinned {
		s.diagonal[v]++
	}
}

// verify checks the currents at every node against the laws themselves.
func (s *solver) verify() error {
	if v, residual, ok := s.balance(maxResidual); !ok {
		return fmt.Errorf("the currents at %s do not balance: %.3g A are left over", s.names[v][0], residual)
	}
	return nil
}

// balance reports whether the currents at every node cancel out to a fraction of
// the largest, or else a node where they do not and what is left over there.
func (s *solver) balance(fraction float64) (at Node, residual float64, ok bool) {
	clear(s.sum)
	var largest float64
	add := func(e *Edge, i float64) {
		largest = max(largest, math.Abs(i))
		s.sum[e.From] += i
		s.sum[e.To] -= i
	}
	for k, g := range s.wiring.conductance {
		if e := s.Edges[k]; e.From != e.To {
			add(e, g*s.voltage(e))
		}
	}
	for _, j := range s.live {
		add(s.elements[j].Edge, s.flows(j))
	}
	for v, residual := range s.sum {
		if !(math.Abs(residual) <= fraction*(1+largest)) {
			return Node(v), residual, false
		}
	}
	return 0, 0, true
}
