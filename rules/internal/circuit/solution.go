package circuit

import (
	"math"
	"slices"
)

// Solution is the state of the circuit in a case.
type Solution struct {
	Case Case
	// Failed says why the equations could not be solved; "" if they were.
	Failed string
	// Chatter lists contactors, relays and converters that find no rest: closing
	// or starting takes away their own supply, opening or stopping restores it.
	Chatter []string
	// Collapsed lists the constant-power consumers whose supply cannot hold
	// its voltage at that power, though it would without.
	Collapsed []string
	// Waiting lists the controllers that the mode lets draw while nothing but a
	// pre-charge resistor feeds them: they draw nothing.
	Waiting []string
	// Limiting lists the converters and chargers that give all they can.
	Limiting []string
	// ConvertersOn lists the converters that run.
	ConvertersOn []string

	network     *Network
	v           []float64 // by node, against the reference of its galvanic part
	i           []float64 // by edge
	operated    []bool    // by coil
	closed      []bool    // by edge
	together    []int
	restless    []bool   // by edge; see Restless
	alternating []bool   // by edge; see Alternating
	states      []string // that it went through to its rest; see stateKey
	factor      *factor  // of the last linearised equations; nil if they were not kept
}

// V is the voltage of a node against the reference of its galvanic part.
func (s *Solution) V(n Node) float64 { return s.v[n] }

// Across is the voltage from one terminal to another. It is not defined, and
// ok is false, between galvanically separate networks or unknown terminals.
func (s *Solution) Across(a, b string) (volts float64, ok bool) {
	x, ok := s.network.Node(a)
	y, ok2 := s.network.Node(b)
	if !ok || !ok2 || !s.Together(x, y) {
		return 0, false
	}
	return felt(s.v[x] - s.v[y]), true
}

// felt is a voltage in V or a current in A, nothing where it is no more than
// the leak and the rounding of the equations amount to at the highest voltages.
func felt(x float64) float64 {
	if math.Abs(x) < 1e-6 {
		return 0
	}
	return x
}

// Burdened is the voltage that is left between two nodes when a resistor is
// put across them: what a person or a lamp would find there, where an
// instrument without a load still shows the leakage of a blocking diode.
func (s *Solution) Burdened(a, b Node, ohm float64) float64 {
	f := s.factor
	if f == nil {
		f = s.network.factorOf(s.Case)
	}
	if f == nil || a == b || !s.Together(a, b) {
		return 0
	}
	x, y := f.forward(a), f.forward(b)
	source := f.product(x, x) + f.product(y, y) - 2*f.product(x, y)
	return felt((s.v[a] - s.v[b]) * ohm / (ohm + max(0, source)))
}

// Together reports whether two nodes are galvanically connected in this state.
func (s *Solution) Together(a, b Node) bool {
	return s.together[a] == s.together[b]
}

// Current is the current of an edge from its From to its To node, 0 for an
// unknown edge. Of a source it is negative while it delivers.
func (s *Solution) Current(edge string) float64 {
	if e := s.network.byID[edge]; e != nil {
		return s.CurrentAt(e)
	}
	return 0
}

// CurrentAt is Current for an edge of the network.
func (s *Solution) CurrentAt(e *Edge) float64 { return felt(s.i[e.index]) }

// Restless reports whether the voltage or the current of one of the edges
// alternates with what Chatter lists: the solution then holds but one of the
// states between which it goes to and fro.
func (s *Solution) Restless(edges ...string) bool {
	return s.restless != nil && slices.ContainsFunc(edges, func(id string) bool {
		e := s.network.byID[id]
		return e != nil && s.restless[e.index]
	})
}

// Alternating lists the contacts that go to and fro with what Chatter lists.
func (s *Solution) Alternating() (edges []string) {
	for i, alternates := range s.alternating {
		if alternates {
			edges = append(edges, s.network.Edges[i].ID)
		}
	}
	return edges
}

// Held is the solution with those contacts all closed, or all open. What a search of
// the closed metal finds in both holds whatever they do; voltages and currents are
// those of the solution.
func (s *Solution) Held(closed bool) *Solution {
	if s.alternating == nil {
		return s
	}
	held := *s
	held.closed = slices.Clone(s.closed)
	for i, alternates := range s.alternating {
		if alternates {
			held.closed[i] = closed
		}
	}
	return &held
}

// Settled reports whether the solution may be relied on for what is seen at
// some edges: it was found, and they do not alternate.
func (s *Solution) Settled(edges ...string) bool {
	return s.Failed == "" && !s.Restless(edges...)
}

// SettledAt is Settled for an edge of the network.
func (s *Solution) SettledAt(e *Edge) bool {
	return s.Failed == "" && (s.restless == nil || !s.restless[e.index])
}

// over is the voltage over an edge, 0 where it has no way back.
func (s *Solution) over(e *Edge) float64 {
	if !s.Together(e.From, e.To) {
		return 0
	}
	return s.v[e.From] - s.v[e.To]
}

// Operated reports whether the coil of a contactor or relay holds it operated.
func (s *Solution) Operated(id string) bool {
	i, ok := s.network.plan().coilOf[id]
	return ok && s.operated[i]
}

// Closed reports whether a switch or contact edge is closed.
func (s *Solution) Closed(edge string) bool {
	e := s.network.byID[edge]
	return e != nil && s.closed[e.index]
}
