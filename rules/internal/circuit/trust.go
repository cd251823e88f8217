package circuit

import (
	"fmt"
	"math"
)

// What a solution must hold to be trusted. The figures measured are the worst of all that
// the rules ask of the demo fleet, the other sound vehicles and the generated ones of up to
// 1 000 conductors, transients included; the limits are about a hundred times as much.
const (
	// maxResidual is what may be left over at a node, as a share of the currents there,
	// without their signs, and of leastFlow more. Measured: 1.1e-8. What is left over at a
	// node without current is the rounding of its voltage behind a milliohm or less:
	// 2.2e-7 A, so that 20 uA are not told from nothing.
	maxResidual = 1e-6
	leastFlow   = 20 // A
	// maxCorrection is how far one more step of the iteration, from what is left over at
	// the nodes, may move the voltage across any element that carries more than a leak, as
	// a share of it and of 1 V more. Measured: 2.9e-6, where a diode has just settled.
	maxCorrection = 1e-2
	// keptDigits is the ratio up to which elimination leaves a double more than enough
	// digits for that, so that no step more is tried: 1e8 let a wrong voltage pass in the
	// networks of TestWrongNumbersAreNotSolutions. Vehicles come to 4.6e9.
	keptDigits = 1e6
	// Beyond maxCancellation a double holds no digit of a galvanic part's potential. A part
	// tied to the rest by nothing but a blocking diode comes to 1e15 and has no potential
	// worth a digit.
	maxCancellation = 1e17
	// tangentResidual is the share of the largest current that may be left over at a node
	// for the iteration to rest.
	tangentResidual = 1e-8
)

// verify checks the currents at every node against the laws themselves, and whether the
// voltages keep enough digits: with resistances that lie too far apart, currents balance
// at voltages that are wrong.
func (s *solver) verify() error {
	s.addUp()
	for v, left := range s.sum {
		if !(math.Abs(left) <= maxResidual*(s.flow[v]+leastFlow)) {
			return fmt.Errorf("the currents at %s do not balance: %.3g A are left over", s.names[v][0], math.Abs(left))
		}
	}
	// Over a step of time the currents tell (see settle): what then hangs on the leak of a
	// diode alone may float by millivolts.
	if s.store != nil || s.lost < keptDigits {
		return nil
	}
	if e, share := s.correction(); !(share <= maxCorrection) {
		return fmt.Errorf("the voltage at %s cannot be computed: the resistances of the circuit lie too far apart", e.ID)
	}
	return nil
}

// correction finds the edge whose voltage one more step from what is left over at the
// nodes moves most, as a share of it and of 1 V more. What merely leaks, as a diode that
// blocks does, has no voltage worth a digit.
func (s *solver) correction() (worst *Edge, share float64) {
	for v, left := range s.sum {
		s.before[v] = -left
	}
	s.last.solve(s.before, s.before)
	look := func(e *Edge, g float64) {
		if !s.active(e) || g <= max(leak, softness)*(1+1e-6) {
			return
		}
		moved := math.Abs(s.before[e.From]-s.before[e.To]) / (1 + math.Abs(s.voltage(e)))
		if worst == nil || !(moved <= share) {
			worst, share = e, moved
		}
	}
	for k, g := range s.wiring.conductance {
		look(s.Edges[k], g)
	}
	for _, j := range s.live {
		i, g := s.laws[j].of(s.across(j))
		if s.laws[j].form != junction || felt(i) != 0 {
			look(s.elements[j].Edge, math.Abs(g))
		}
	}
	return worst, share
}

// addUp adds up the currents out of every node, by the laws and not their tangents, and
// returns the largest of an element.
func (s *solver) addUp() (largest float64) {
	clear(s.sum)
	clear(s.flow)
	add := func(e *Edge, i float64) {
		a := math.Abs(i)
		largest = max(largest, a)
		s.sum[e.From] += i
		s.sum[e.To] -= i
		s.flow[e.From] += a
		s.flow[e.To] += a
	}
	for k, g := range s.wiring.conductance {
		if e := s.Edges[k]; e.From != e.To {
			add(e, g*s.voltage(e))
		}
	}
	for _, j := range s.live {
		add(s.elements[j].Edge, s.flows(j))
	}
	return largest
}

// consistent reports whether the laws themselves, not only their tangents, agree with the
// present voltages, and no element asks for another region.
func (s *solver) consistent() bool {
	for _, j := range s.steps {
		if l := s.laws[j]; l.step(s.across(j)) {
			return false
		}
	}
	limit := tangentResidual * (1 + s.addUp())
	for _, left := range s.sum {
		if !(math.Abs(left) <= limit) {
			return false
		}
	}
	return true
}
