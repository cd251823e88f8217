package circuit

import (
	"fmt"
	"math"
	"slices"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// Solve solves a case. What has been solved before is returned again; of a case
// that makes the same circuit, under its own name.
func (n *Network) Solve(c Case) *Solution {
	n.proceed()
	return n.asked.get(c, func() *Solution {
		as := n.canonical(c)
		own := *n.solved.get(as, func() *Solution { return n.solve(as, n.free(as)) })
		own.Case = c
		return &own
	})
}

// SolveApart solves a case that nobody asks for again: it is not kept. One in which a
// contactor waits has much in common with those in which others do; see free.
func (n *Network) SolveApart(c Case) *Solution {
	n.proceed()
	as := n.canonical(c)
	kept, ok := n.solved.peek(as)
	if !ok {
		var free *Solution
		if as.Closed == "" {
			free = n.free(as)
		}
		kept = n.solve(as, free)
	}
	own := *kept
	own.Case = c
	return &own
}

// factorOf returns the factors of the last linearised equations of a case, made again.
func (n *Network) factorOf(c Case) *factor {
	return n.factors.get(n.canonical(c), func() *factor {
		s := newSolver(n)
		s.begin(n.canonical(c))
		s.rest(&Solution{}, nil)
		return s.last
	})
}

// solve solves a case with a solver that has solved others before, if one is
// free, from where it parts from another case; see follow.
func (n *Network) solve(c Case, other *Solution) *Solution {
	s, ok := n.solvers.Get().(*solver)
	if !ok {
		s = newSolver(n)
	}
	s.begin(c)
	history, same := s.follow(other)
	out := other
	if !same {
		out = s.run(history)
	}
	n.solvers.Put(s)
	return out
}

// solver holds the state of one solution in the making, and room for what it
// needs on the way, used again in the next. Nothing in it belongs to a solution.
type solver struct {
	*Network
	*plan
	c        Case
	mode     *schema.Mode // nil for none
	wiring   *wiring      // conductors, at the temperature of the case
	coilsAt  []coilState  // coils, likewise
	orders   []order      // by element
	waiting  []bool       // by coil: contactors that the case keeps from moving
	operated []bool       // by coil
	running  []bool       // by converter
	laws     []law        // by element
	// Elements by what their laws in the present contact state are.
	live      []int // those that are in the equations
	curved    []int // those of them that are no resistances
	steps     []int // those of them that have regions
	junctions bool  // whether there are diodes among them

	v        []float64
	unloaded []float64 // voltages before any load is applied
	together unionFind // what is galvanically together, as roots
	tied     unionFind // the same without the elements that have regions, and without capacitors
	pinned   []Node    // one node of each galvanic part
	hold     float64   // conductance of the capacitors of creep, S
	held     []float64 // by element: the voltage that they hold
	store    []float64 // by element: conductance of its capacitor over a step of a transient, S; nil outside one
	stored   []float64 // by element: the voltage that it holds
	waits    []bool    // by coil: contactors that have yet to close in a transient, whatever their coils see; nil outside one

	last                  *factor
	diagonal, values, rhs []float64
	before, sum           []float64 // voltages before a step, and the currents into each node
	marks                 []bool    // by node
	queue                 []Node
	key                   []byte
}

func newSolver(n *Network) *solver {
	p := n.plan()
	nodes, elements := n.Nodes(), len(p.elements)
	return &solver{Network: n, plan: p,
		orders: make([]order, elements), laws: make([]law, elements), held: make([]float64, elements),
		waiting: make([]bool, len(p.coils)), operated: make([]bool, len(p.coils)), running: make([]bool, len(p.converters)),
		v: make([]float64, nodes), unloaded: make([]float64, nodes), together: make(unionFind, nodes), tied: make(unionFind, nodes),
		diagonal: make([]float64, nodes), values: make([]float64, n.pattern.values), rhs: make([]float64, nodes),
		before: make([]float64, nodes), sum: make([]float64, nodes), marks: make([]bool, nodes)}
}

// begin takes up a case, in its starting state.
func (s *solver) begin(c Case) {
	s.c, s.mode = c, s.Mode(c.Mode)
	s.wiring, s.coilsAt = s.wiringAt(c.copper()), s.coilStates(c.Coil)
	s.readCase()
	for i := range s.operated {
		s.operated[i] = c.Start == FromClosed
	}
	for i := range s.running {
		s.running[i] = c.Start == FromClosed && !s.forcedOff(&s.converters[i])
	}
}

// place is where an edge that is no conductor stands among the elements.
func (s *solver) place(e *Edge) int { return e.index - len(s.wiring.conductance) }

// run finds the solution of the case, from states that it has gone through before;
// see rest.
func (s *solver) run(history []string) *Solution {
	out := &Solution{Case: s.c, network: s.Network}
	cycle := s.rest(out, history)
	s.fill(out)
	if cycle != nil {
		s.unrest(out, cycle)
	}
	return out
}

// rest iterates over the contact and converter states until they rest. Of those that
// find none it returns the cycle. The history are the states before the present one;
// see stateKey.
func (s *solver) rest(out *Solution, history []string) (cycle []string) {
	for {
		s.prepare()
		if err := s.iterate(); err != nil {
			out.Failed = err.Error()
			return nil
		}
		key := s.stateKey()
		if at := slices.Index(history, key); at >= 0 {
			out.Chatter = s.alternating(history[at:])
			return history[at:]
		}
		history = append(history, key)
		out.states = history
		if !s.moveContacts() {
			return nil
		}
	}
}

// maxRestless is how many states of what finds no rest are gone through.
const maxRestless = 64

// unrest finds the edges that what finds no rest disturbs. The cycle is the one in
// which all move at once; how fast each really is nobody knows, so all states count
// that they come to when they move one by one. Where those are too many, every edge
// is taken for disturbed.
func (s *solver) unrest(out *Solution, cycle []string) {
	out.restless, out.alternating = make([]bool, len(s.Edges)), make([]bool, len(s.Edges))
	states := slices.Clone(cycle)
	for k := 0; k < len(states); k++ {
		s.resume(states[k])
		s.prepare()
		if k == maxRestless || s.iterate() != nil {
			for i, e := range s.Edges {
				out.restless[i], out.alternating[i] = true, e.Kind == ContactEdge
			}
			return
		}
		other := &Solution{}
		s.fill(other)
		for i, e := range s.Edges {
			out.alternating[i] = out.alternating[i] || out.closed[i] != other.closed[i]
			out.restless[i] = out.restless[i] || out.alternating[i] ||
				differ(out.i[i], other.i[i]) || differ(out.over(e), other.over(e))
		}
		for i := range s.movers {
			next := []byte(states[k])
			next[i] ^= '0' ^ '1'
			if s.margin(i) < 0 && !slices.Contains(states, string(next)) {
				states = append(states, string(next))
			}
		}
	}
}

// differ reports whether two voltages or currents are further apart than a
// thousandth, and than what no reading shows.
func differ(a, b float64) bool {
	const share, least = 1e-3, 1e-4
	return math.Abs(a-b) > share*max(math.Abs(a), math.Abs(b))+least
}

// voltage is the voltage across an edge, 0 where it has no way back.
func (s *solver) voltage(e *Edge) float64 {
	if s.together[e.From] != s.together[e.To] {
		return 0
	}
	return s.v[e.From] - s.v[e.To]
}

// across is the same across an element.
func (s *solver) across(j int) float64 { return s.voltage(s.elements[j].Edge) }

// Limits of the iteration and of what is taken as solved.
const (
	maxIterations  = 100
	stepIterations = 40   // within a step of time
	maxSteps       = 400  // of time
	firstHold      = 1e4  // S: a capacitor over a short step of time
	lastHold       = 1e-7 // S: the same over a step so long that it holds nothing
	tolerance      = 1e-7 // relative and absolute, V: above the rounding of conductances eleven decades apart
	maxResidual    = 1e-6 // of the largest current
	// Beyond it a double holds no digit of a galvanic part's potential. A part
	// tied to the rest by nothing but a blocking diode comes to 1e15 and has no
	// potential worth a digit.
	maxCancellation = 1e17
)

// iterate solves the non-linear equations of the present contact state: first
// without what draws or feeds a current of its own, which tells the voltages
// that a load would find, then with it, so that a load of constant power is
// approached from the voltage at rest and not from that of its collapse.
func (s *solver) iterate() error {
	clear(s.v)
	clear(s.unloaded)
	s.connect()
	if err := s.settle(maxIterations, true); err != nil {
		return err
	}
	copy(s.unloaded, s.v)
	if s.settle(maxIterations, false) != nil {
		s.creep()
		if err := s.settle(maxIterations, false); err != nil {
			return err
		}
	}
	return s.verify()
}

// settle iterates (Newton) until the voltages rest.
func (s *solver) settle(iterations int, unloaded bool) error {
	regions := map[string]bool{}
	for k := range iterations {
		s.proceed()
		moved := s.stepRegions(k, regions)
		if moved {
			s.connect()
		}
		settled := s.relinearise(moved, unloaded)
		if k > 0 && unloaded && !moved && settled && !s.junctions {
			return nil // the last solution was exact
		}
		if !unloaded {
			moved = s.reflect() || moved
		}
		copy(s.before, s.v)
		if err := s.linear(unloaded); err != nil {
			return err
		}
		// A part held by nothing but what a blocking diode leaks has a potential that
		// rounding moves: there the currents tell that all rests.
		byCurrents := s.store != nil || !unloaded && 2*k > iterations
		if !moved && settled && (close(s.before, s.v) || byCurrents && s.consistent()) {
			return nil
		}
	}
	return fmt.Errorf("the network did not settle in %d iterations", iterations)
}

// creep leads the network towards its rest as the real one goes there: from its
// unloaded state, with a capacitor across each source and load, in steps of time
// that grow while they are easy. A capacitor over a step of time is a
// conductance with a memory (implicit Euler), which ends the alternation of
// elements that answer each other. It takes a hundred times as long as settle.
func (s *solver) creep() {
	copy(s.v, s.unloaded)
	for i := range s.laws {
		s.laws[i].region = regulating
		s.laws[i].at = s.across(i)
	}
	s.connect()
	start := slices.Clone(s.v)
	s.hold = firstHold
	for range maxSteps {
		copy(start, s.v)
		for i := range s.laws {
			s.held[i] = s.across(i)
		}
		if s.settle(stepIterations, false) == nil {
			s.hold /= 3
		} else {
			s.hold *= 2
			copy(s.v, start)
		}
		if s.hold < lastHold {
			break
		}
	}
	s.hold = 0
}

func close(a, b []float64) bool {
	for i := range a {
		if !(math.Abs(a[i]-b[i]) <= tolerance*(1+math.Abs(b[i]))) {
			return false
		}
	}
	return true
}

// stepRegions moves the piecewise-linear elements to their new regions. When a
// set of regions comes back, only one element moves at a time from then on,
// which ends the alternation of two that answer each other.
func (s *solver) stepRegions(k int, seen map[string]bool) bool {
	type move struct{ law, before int }
	var moved []move
	for _, j := range s.steps {
		l := &s.laws[j]
		if before := l.region; l.step(s.across(j)) {
			moved = append(moved, move{j, before})
		}
	}
	if len(moved) == 0 {
		return false
	}
	s.key = s.key[:0]
	for _, j := range s.steps {
		s.key = append(s.key, byte(s.laws[j].region))
	}
	if seen[string(s.key)] && len(moved) > 1 {
		keep := k % len(moved)
		for i, m := range moved {
			if i != keep {
				s.laws[m.law].region = m.before
			}
		}
	}
	seen[string(s.key)] = true
	return true
}

// reflect sets what each converter takes from what it gives, and reports
// whether that changed.
func (s *solver) reflect() bool {
	changed := false
	for k := range s.converters {
		if !s.running[k] {
			continue
		}
		c := &s.converters[k]
		v := s.voltage(c.out)
		i, _ := s.laws[s.place(c.out)].of(v)
		watts := calc.InputPower(max(0, -v*i), c.efficiency) + c.standbyA*s.voltage(c.in)
		l := &s.laws[s.place(c.in)]
		if math.Abs(watts-l.watts) > 10*trace*(1+l.watts) {
			changed = true
		}
		l.watts = watts
	}
	return changed
}

// relinearise chooses the voltage at which each element is linearised next and
// reports whether all are where the last solution put them. Where a region has
// moved, a voltage far from the last one was found in the wrong region and says
// nothing about where a curve is best taken. What draws a current of its own takes
// no part in the equations without load, and begins from the voltage that it finds
// there.
func (s *solver) relinearise(moved, unloaded bool) bool {
	settled := true
	for _, j := range s.curved {
		l, v := &s.laws[j], s.across(j)
		if unloaded && (l.form == power || l.form == current) {
			l.at = v
			continue
		}
		if moved && (l.form == power || l.form == current) && l.at > 0 && (v < l.at/2 || v > 2*l.at) {
			settled = false
			continue
		}
		at := l.limit(v)
		if math.Abs(at-v) > tolerance*(1+math.Abs(v)) {
			settled = false
		}
		l.at = at
	}
	return settled
}

// sharedTogether is a copy of what is galvanically together, or the one before if it
// is the same: there are few, and each is as long as the network.
func (s *solver) sharedTogether() []int {
	if last := s.Network.together.Load(); last != nil && slices.Equal(*last, s.together) {
		return *last
	}
	same := []int(slices.Clone(s.together))
	s.Network.together.Store(&same)
	return same
}

// keptValues is the size of factors from which on they are made again for the few
// solutions that are asked for them: a large network has thousands of solutions.
const keptValues = 5000

// fill copies the state into a solution.
func (s *solver) fill(out *Solution) {
	out.v, out.operated, out.together = slices.Clone(s.v), slices.Clone(s.operated), s.sharedTogether()
	if s.pattern.values < keptValues {
		out.factor, s.last = s.last, nil
	}
	out.i = make([]float64, len(s.Edges))
	out.closed = make([]bool, len(s.Edges))
	for k, g := range s.wiring.conductance {
		out.i[k] = g * s.voltage(s.Edges[k])
	}
	for j := range s.elements {
		e, l := &s.elements[j], &s.laws[j]
		v := s.across(j)
		out.i[e.index] = s.flows(j)
		switch {
		case e.Kind == SwitchEdge || e.Kind == ContactEdge || e.Kind == PlugEdge:
			out.closed[e.index] = l.form == resistor
		case l.form == power && v < l.knee && s.unloaded[e.From]-s.unloaded[e.To] >= l.knee && l.watts > 0:
			out.Collapsed = append(out.Collapsed, e.Part)
		case l.form == limited && l.region == limiting && e.Kind != ControllerEdge:
			out.Limiting = append(out.Limiting, e.Part)
		case e.Kind == ControllerEdge && s.draws(e.Part) && s.onPrechargeOnly(e.Part):
			out.Waiting = append(out.Waiting, e.Part)
		}
	}
	for i, on := range s.running {
		if on {
			out.ConvertersOn = append(out.ConvertersOn, s.converters[i].id)
		}
	}
}
