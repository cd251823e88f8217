package circuit

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"example.org/headroom/schema"
)

// Solve solves a case. What has been solved before is returned again.
func (n *Network) Solve(c Case) *Solution {
	return n.solved.get(c, func() *Solution { return newSolver(n, c).run() })
}

// solver holds the state of one solution in the making.
type solver struct {
	*Network
	c        Case
	wanted   map[string]bool // switches that the case closes
	on       map[string]bool // loads that the case turns on
	operated map[string]bool // by contactor or relay
	running  map[string]bool // by converter
	laws     []law
	v        []float64
	hold     float64         // conductance of the capacitors of creep, S
	held     []float64       // by edge: the voltage that they hold
	store    []float64       // by edge: conductance of its capacitor over a step of a transient, S; nil outside one
	stored   []float64       // by edge: the voltage that it holds
	waits    map[string]bool // contactors that have yet to close in a transient, whatever their coils see
	sum      []float64       // room for the currents into each node
	unloaded []float64       // voltages before any load is applied
	pinned   []Node          // one node of each galvanic part
	last     *factor
	// Room for the linear equations, used again in each iteration.
	diagonal, values, rhs []float64
	together              unionFind
}

func newSolver(n *Network, c Case) *solver {
	s := &solver{Network: n, c: c, wanted: map[string]bool{}, on: map[string]bool{},
		operated: map[string]bool{}, running: map[string]bool{}}
	s.readMode()
	begin := c.Start == FromClosed
	for id := range n.Spec.Contactors {
		s.operated[id] = begin
	}
	for id := range n.Spec.Relays {
		s.operated[id] = begin
	}
	for id := range n.Spec.Converters {
		s.running[id] = begin && !s.forcedOff(id)
	}
	return s
}

// run iterates over the contact and converter states until they rest.
func (s *solver) run() *Solution {
	out := &Solution{Case: s.c, network: s.Network}
	seen := map[string]int{}
	var history []map[string]bool // of contacts and converters, whose ids are never the same
	round := 0                    // states in the cycle of what finds no rest
	for {
		s.prepare()
		if err := s.iterate(); err != nil {
			out.Failed = err.Error()
			break
		}
		key := fmt.Sprint(s.operated, s.running)
		if at, again := seen[key]; again {
			out.Chatter = alternating(history[at:])
			round = len(history) - at
			break
		}
		seen[key] = len(history)
		both := maps.Clone(s.operated)
		maps.Copy(both, s.running)
		history = append(history, both)
		if !s.moveContacts() {
			break
		}
	}
	s.fill(out)
	if round > 0 {
		s.unrest(out, round)
	}
	return out
}

// unrest goes once more through the cycle of what finds no rest, to find the
// edges that it disturbs.
func (s *solver) unrest(out *Solution, round int) {
	out.restless = make([]bool, len(s.Edges))
	s.last = nil // the solution keeps its own
	s.operated, s.running = maps.Clone(s.operated), maps.Clone(s.running)
	for range round - 1 {
		s.moveContacts()
		s.prepare()
		if s.iterate() != nil {
			for k := range out.restless {
				out.restless[k] = true
			}
			return
		}
		other := &Solution{}
		s.fill(other)
		for k, e := range s.Edges {
			out.restless[k] = out.restless[k] || out.closed[e.ID] != other.closed[e.ID] ||
				differ(out.i[k], other.i[k]) || differ(out.over(e), other.over(e))
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
	if s.together.find(int(e.From)) != s.together.find(int(e.To)) {
		return 0
	}
	return s.v[e.From] - s.v[e.To]
}

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
	s.v = make([]float64, s.Nodes())
	s.unloaded = make([]float64, s.Nodes())
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
	before := make([]float64, s.Nodes())
	for k := range iterations {
		moved := s.stepRegions(k, regions)
		if moved {
			s.connect()
		}
		settled := s.relinearise(moved)
		if k > 0 && unloaded && !moved && settled && s.linearNow() {
			return nil // the last solution was exact
		}
		if !unloaded {
			moved = s.reflect() || moved
		}
		copy(before, s.v)
		if err := s.linear(unloaded); err != nil {
			return err
		}
		if !moved && settled && (close(before, s.v) || s.store != nil && s.consistent()) {
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
		s.laws[i].at = s.voltage(s.Edges[i])
	}
	s.connect()
	s.held = make([]float64, len(s.laws))
	start := slices.Clone(s.v)
	s.hold = firstHold
	for range maxSteps {
		copy(start, s.v)
		for i := range s.laws {
			s.held[i] = s.voltage(s.Edges[i])
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
	for i := range s.laws {
		if l := &s.laws[i]; l.form == floating || l.form == limited {
			if before := l.region; l.step(s.voltage(s.Edges[i])) {
				moved = append(moved, move{i, before})
			}
		}
	}
	if len(moved) == 0 {
		return false
	}
	key := make([]byte, len(s.laws))
	for i := range s.laws {
		key[i] = byte(s.laws[i].region)
	}
	if seen[string(key)] && len(moved) > 1 {
		keep := k % len(moved)
		for i, m := range moved {
			if i != keep {
				s.laws[m.law].region = m.before
			}
		}
	}
	seen[string(key)] = true
	return true
}

// reflect sets what each converter takes from what it gives, and reports
// whether that changed.
func (s *solver) reflect() bool {
	changed := false
	for id, c := range schema.Sorted(s.Spec.Converters) {
		if !s.running[id] {
			continue
		}
		out := s.byID[id+".out"]
		v := s.voltage(out)
		i, _ := s.laws[out.index].of(v)
		efficiency := c.EfficiencyPercent.Or(s.Spec.Policy.ConverterEfficiency) / 100
		in := s.byID[id+".in"]
		watts := max(0, -v*i)/efficiency + c.Input.StandbyMA.Or(0)/1000*s.voltage(in)
		l := &s.laws[in.index]
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
// nothing about where a curve is best taken.
func (s *solver) relinearise(moved bool) bool {
	settled := true
	for i := range s.laws {
		l, v := &s.laws[i], s.voltage(s.Edges[i])
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

// linearNow reports whether every element that ties two nodes together is
// straight where it stands.
func (s *solver) linearNow() bool {
	return !slices.ContainsFunc(s.laws, func(l law) bool { return l.form == junction })
}

// connect finds which nodes are galvanically together in the present state,
// and one node of each such part to hold at zero.
func (s *solver) connect() {
	if s.together == nil {
		s.together = make(unionFind, s.Nodes())
	}
	s.together.part()
	for i := range s.laws {
		if s.laws[i].connects() || s.store != nil && s.store[i] > 0 {
			s.together.union(int(s.Edges[i].From), int(s.Edges[i].To))
		}
	}
	s.pinned = s.pinned[:0]
	done := make([]bool, s.Nodes())
	for _, v := range s.reference {
		if root := s.together.find(int(v)); !done[root] {
			done[root] = true
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
		s.diagonal, s.rhs = make([]float64, s.Nodes()), make([]float64, s.Nodes())
		s.values = make([]float64, s.pattern.values)
	}
	clear(s.diagonal)
	clear(s.values)
	clear(s.rhs)
	for k := range s.laws {
		l, e := &s.laws[k], s.Edges[k]
		memory, i1 := s.companion(k)
		if l.form == open && memory == 0 || e.From == e.To || !s.active(e, l) {
			continue
		}
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
		s.values[s.pattern.edge[k]] -= g
		s.rhs[e.From] -= i0
		s.rhs[e.To] += i0
	}
	s.pin()
	return s.last.compute(s.diagonal, s.values) && s.last.cancellation(s.diagonal) < maxCancellation
}

// companion is what stands for the capacitors across an edge over the present
// step of time: a conductance, and the current at no voltage that is their
// memory.
func (s *solver) companion(k int) (g, i0 float64) {
	if s.store != nil {
		g, i0 = s.store[k], -s.store[k]*s.stored[k]
	}
	if s.hold > 0 && s.laws[k].hasCapacitor() {
		g, i0 = g+s.hold, i0-s.hold*s.held[k]
	}
	return g, i0
}

// flows is the current of an edge: that of its law, and that of its capacitor.
func (s *solver) flows(k int) float64 {
	e, l := s.Edges[k], &s.laws[k]
	if !s.active(e, l) {
		return 0
	}
	v := s.voltage(e)
	i, _ := l.of(v)
	g, i0 := s.companion(k)
	return i + g*v + i0
}

// active reports whether an element has a way back for its current.
func (s *solver) active(e *Edge, l *law) bool {
	return l.connects() || s.together.find(int(e.From)) == s.together.find(int(e.To))
}

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
	if s.sum == nil {
		s.sum = make([]float64, s.Nodes())
	}
	clear(s.sum)
	var largest float64
	for k := range s.laws {
		e := s.Edges[k]
		if e.From == e.To {
			continue
		}
		i := s.flows(k)
		largest = max(largest, math.Abs(i))
		s.sum[e.From] += i
		s.sum[e.To] -= i
	}
	for v, residual := range s.sum {
		if !(math.Abs(residual) <= fraction*(1+largest)) {
			return Node(v), residual, false
		}
	}
	return 0, 0, true
}

// fill copies the state into a solution.
func (s *solver) fill(out *Solution) {
	out.v, out.operated, out.together, out.factor = s.v, s.operated, s.together.roots(), s.last
	out.i = make([]float64, len(s.Edges))
	out.closed = map[string]bool{}
	for k, e := range s.Edges {
		l := &s.laws[k]
		v := s.voltage(e)
		out.i[k] = s.flows(k)
		switch {
		case e.Kind == SwitchEdge || e.Kind == ContactEdge:
			out.closed[e.ID] = l.form == resistor
		case l.form == power && v < l.knee && s.unloaded[e.From]-s.unloaded[e.To] >= l.knee && l.watts > 0:
			out.Collapsed = append(out.Collapsed, e.Part)
		case l.form == limited && l.region == limiting && e.Kind != ControllerEdge:
			out.Limiting = append(out.Limiting, e.Part)
		case e.Kind == ControllerEdge && s.draws(e.Part) && s.onPrechargeOnly(e.Part):
			out.Waiting = append(out.Waiting, e.Part)
		}
	}
	for id := range schema.Sorted(s.running) {
		if s.running[id] {
			out.ConvertersOn = append(out.ConvertersOn, id)
		}
	}
}
