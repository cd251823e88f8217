package circuit

import (
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"example.org/headroom/schema"
)

// FaultCase is the corner of a short circuit. Inductance and the arc are left
// out: real faults rise more slowly and settle lower, so a maximum is on the
// safe side for breaking capacity, and a minimum is not for clearing time.
type FaultCase struct {
	Greatest bool // full and warm batteries, cold copper; else empty and cold batteries, hot copper
	// Prospective, with Greatest, is the current that would flow if every fuse
	// were a link of negligible impedance, which is what a breaking capacity is
	// rated against (IEC 60269-1, from memory). Contacts whose resistance the
	// spec does not state count as nothing too: a default that makes the current
	// smaller would be a guess to the unsafe side.
	Prospective bool
	// Open lists edges, separated by spaces, that stay open; all others are closed.
	Open string
	// Without lists batteries, separated by spaces, that do not feed the fault.
	Without string
	// HotC is the temperature of hot copper in C, taken when not Greatest; 0
	// means the policy's limit for terminals. Cold copper is at the vehicle's
	// lowest ambient.
	HotC float64
	// UnderLoad, when not Greatest, takes cold batteries at the resistance that they
	// have under load, which is greater than that in a short circuit.
	UnderLoad bool

	blocking string // diodes that block, separated by spaces, in order
}

// Fault is a bolted short circuit between two nodes.
type Fault struct {
	OpenV      float64 // voltage between the nodes before
	LoopOhm    float64 // resistance of the network between them
	BatteriesA float64 // what batteries drive
	LimitedA   float64 // what converters and chargers add, by their limits
	network    *thevenin
	from, to   Node
	a, b       *column // of the nodes; nil where nothing joins them
}

// A is the whole fault current, in A.
func (f *Fault) A() float64 { return f.BatteriesA + f.LimitedA }

// Through is the part of the batteries' fault current that flows through an
// edge, in A, without its sign.
func (f *Fault) Through(e *Edge) float64 {
	return math.Abs(f.network.conducts(e) * (f.volts(e.From) - f.volts(e.To)))
}

// volts is the voltage of a node in the fault, in V from the network's reference.
func (f *Fault) volts(v Node) float64 {
	t := f.network
	if f.a == nil || t.together[v] != t.together[f.from] {
		return t.volts(v)
	}
	c := t.column(v)
	return t.volts(v) - f.BatteriesA*(t.product(c, f.a)-t.product(c, f.b))
}

// Neglected reports whether the fault takes an edge for one of no resistance.
func (f *Fault) Neglected(e *Edge) bool { return f.Ohm(e) <= 1.01*negligibleOhm }

// negligibleOhm is small beside any loop, and large enough to divide by.
const negligibleOhm = 1e-8

// Ohm is the resistance of an edge in the corner of the fault, +Inf for one that
// takes no part in it.
func (f *Fault) Ohm(e *Edge) float64 { return 1 / f.network.conducts(e) }

// thevenin is the linear network of sources and metal alone, ready to answer
// for a short between any two nodes.
type thevenin struct {
	*factor
	network     *Network
	state       FaultCase // with its diodes as they are
	wiring      *wiring
	conductance []float64       // by element
	turned      map[int]float64 // what is not as in conductance, by edge; nil if nothing is
	resting     *thevenin       // the network that was turned
	together    []int
	roots       []Node                   // one of each galvanic part
	columns     []atomic.Pointer[column] // by node, of those that were asked for
	limited     []Source                 // converters and chargers that feed a fault besides the batteries
	tree        func() *reached          // ways of least resistance from the references
	v           []float64                // by node; of a network that was not turned

	// Of a network with diodes, what those with other diodes blocking follow from.
	*origin
	added, rhs []float64 // what elements add to the equations, and their right-hand side
}

// column is a column of the factor, computed when it is first asked for.
func (t *thevenin) column(v Node) *column {
	if t.turned != nil {
		return t.forward(v) // asked for a few nodes
	}
	if c := t.columns[v].Load(); c != nil {
		return c
	}
	c := t.forward(v)
	t.columns[v].Store(c)
	return c
}

// volts is the voltage of a node before the fault.
func (t *thevenin) volts(v Node) float64 {
	if t.turned != nil {
		return t.at(t.origin, v)
	}
	return t.v[v]
}

// conducts is the conductance of an edge, in S.
func (t *thevenin) conducts(e *Edge) float64 {
	if g, ok := t.turned[e.index]; ok {
		return g
	}
	if k := e.index - len(t.wiring.conductance); k >= 0 {
		return t.conductance[k]
	}
	return t.wiring.conductance[e.index]
}

// Fault computes a short circuit between two nodes. It reports false when
// nothing drives a current between them.
func (n *Network) Fault(a, b Node, c FaultCase) (*Fault, bool) {
	t := n.beforeFault(c)
	if t == nil {
		return nil, false
	}
	f := t.fault(a, b)
	if len(n.diodes) > 0 {
		settled := n.settleDiodes(t.state, n.diodesBetween(a, b), func(c FaultCase) func(Node) float64 {
			with := n.turned(t, c)
			if with == nil {
				return nil
			}
			if f.network != with {
				f = with.fault(a, b)
			}
			return f.volts
		})
		if t = n.turned(t, settled); t == nil {
			return nil, false
		}
		if f.network != t {
			f = t.fault(a, b)
		}
	}
	f.LimitedA = t.limitedA(a, b)
	// Below a milliampere it is the rounding of nothing.
	return f, math.Abs(f.A()) > 1e-3
}

// fault computes what batteries drive into a short circuit between two nodes
// with the diodes as they are.
func (t *thevenin) fault(a, b Node) *Fault {
	f := &Fault{network: t, from: a, to: b}
	if t.together[a] == t.together[b] && a != b {
		f.a, f.b = t.column(a), t.column(b)
		f.LoopOhm = t.product(f.a, f.a) + t.product(f.b, f.b) - 2*t.product(f.a, f.b)
		f.OpenV = t.volts(a) - t.volts(b)
		if f.LoopOhm > 0 {
			f.BatteriesA = f.OpenV / f.LoopOhm
		}
	}
	return f
}

// limitedA adds up what converters and chargers feed into a short, whose
// output can reach both nodes over metal.
func (t *thevenin) limitedA(a, b Node) (sum float64) {
	joined := func(x, y Node) bool { return t.together[x] == t.together[y] }
	for i := range t.limited {
		if s := &t.limited[i]; joined(s.Pos, a) && joined(s.Neg, b) || joined(s.Pos, b) && joined(s.Neg, a) {
			sum += s.LimitA
		}
	}
	return sum
}

// thevenin builds the network of a fault case, or returns it again; nil when
// its equations cannot be factorised.
func (n *Network) thevenin(c FaultCase) *thevenin {
	return n.thevenins.get(c, func() *thevenin { return n.buildThevenin(c) })
}

func (n *Network) buildThevenin(c FaultCase) *thevenin {
	solve := Case{AllClosed: true, House: Alone, Open: c.Open, NoDraw: true, NoLoads: true}
	if c.Greatest {
		solve.Pack, solve.Auxiliary, solve.Resistance = Highest, Highest, Least
		solve = solve.WithCopper(n.Spec.Vehicle.AmbientC.Min)
	} else {
		solve.Pack, solve.Auxiliary, solve.Resistance = Lowest, Lowest, GreatestShort
		if c.UnderLoad {
			solve.Resistance = Greatest
		}
		hot := c.HotC
		if hot == 0 {
			hot = n.Spec.Policy.TerminalMaxC
		}
		solve = solve.WithCopper(hot)
	}
	s := newSolver(n)
	s.begin(solve)
	clear(s.running)
	s.prepare()
	without := splitIDs(c.Without)
	for j := range s.elements {
		e, l := s.elements[j].Edge, &s.laws[j]
		switch {
		case e.Kind == DiodeEdge:
			*l = n.faultDiode(e, c)
		case !e.carriesFault(),
			e.Kind == BatteryEdge && slices.Contains(without, e.ID):
			*l = law{}
		case c.Prospective && e.Conducts() && (e.Protects() || s.closedAssumed[e.index]) && l.form == resistor:
			*l = law{form: resistor, g: 1 / negligibleOhm}
		}
	}
	s.sort()
	s.connect()
	if len(n.diodes) > 0 {
		s.last = n.pattern.newFactor()
		s.last.undivided = make([]float64, n.pattern.values)
	}
	if s.linear(false) != nil {
		return nil
	}
	t := &thevenin{factor: s.last, network: n, v: s.v, together: s.together, wiring: s.wiring, roots: s.pinned}
	t.state, t.columns = c, make([]atomic.Pointer[column], n.Nodes())
	if c.Greatest {
		t.limited = slices.DeleteFunc(slices.Clone(n.Sources()), Source.IsBattery)
	}
	t.conductance = make([]float64, len(s.laws))
	for j := range s.laws {
		t.conductance[j] = s.laws[j].g
	}
	if len(n.diodes) > 0 {
		t.keepOrigin(s)
	}
	t.tree = t.ways()
	return t
}

// ways finds the ways of least resistance from the references, once.
func (t *thevenin) ways() func() *reached {
	return sync.OnceValue(func() *reached {
		return t.network.reachFrom(t.roots, func(e *Edge, _ Node) (float64, bool) {
			g := t.conducts(e)
			return 1 / g, g > 0
		})
	})
}

// treeTo is the tree of these ways as far as two nodes need it.
func (t *thevenin) treeTo(a, b Node) *reached {
	if t.turned == nil {
		return t.tree()
	}
	// A way of least resistance stays one while others get more.
	tree := t.resting.tree()
	for k, g := range t.turned {
		if e := t.network.Edges[k]; g > t.resting.conducts(e) || tree.uses(a, e) || tree.uses(b, e) {
			return t.tree()
		}
	}
	return tree
}

// uses reports whether the way to a node leads over an edge.
func (r *reached) uses(v Node, e *Edge) bool {
	for ; r.by[v] != nil; v = r.by[v].Other(v) {
		if r.by[v] == e {
			return true
		}
	}
	return false
}

// Way lists the edges on the way of least resistance round the fault's loop,
// sources included, from one of its nodes to the other. In a network with
// meshes it is the way over a tree of such ways, which may be a longer one.
func (f *Fault) Way() []*Edge {
	tree := f.network.treeTo(f.from, f.to)
	depth := func(v Node) (d int) {
		for ; tree.by[v] != nil; d++ {
			v = tree.by[v].Other(v)
		}
		return d
	}
	var out, back []*Edge
	a, b := f.from, f.to
	for da, db := depth(a), depth(b); a != b; {
		if da >= db {
			if da == 0 {
				return nil // separate parts
			}
			out = append(out, tree.by[a])
			a, da = tree.by[a].Other(a), da-1
		} else {
			back = append(back, tree.by[b])
			b, db = tree.by[b].Other(b), db-1
		}
	}
	slices.Reverse(back)
	return append(out, back...)
}

// Level is the short-circuit level at a terminal.
type Level struct {
	Terminal string
	Return   string // the terminal of the source that the fault goes back to
	Source   string
	Most     *Fault // nil when nothing drives it
	Least    *Fault
}

// Levels returns the greatest and least short-circuit current between each
// terminal and the opposite pole of its network's source, in the order of the
// terminals' nodes. The least is with the same switches closed.
func (n *Network) Levels() []Level {
	var out []Level
	for v := range n.names {
		if l, ok := n.LevelAt(Node(v)); ok {
			out = append(out, l)
		}
	}
	return out
}

// LevelAt returns the short-circuit level at a node.
func (n *Network) LevelAt(v Node) (Level, bool) {
	var best Level
	for _, s := range n.Sources() {
		if !n.SameNetwork(v, s.Pos) {
			continue
		}
		back, name := s.Neg, s.ID+".neg"
		if s.Role == "converter" {
			name = s.ID + ".out_neg"
		}
		if t := n.beforeFault(FaultCase{Greatest: true, Prospective: true}); t != nil && t.volts(v)-t.volts(s.Neg) < 0.5*(t.volts(s.Pos)-t.volts(s.Neg)) {
			back, name = s.Pos, name[:len(name)-len("neg")]+"pos"
		}
		most, ok := n.Fault(v, back, FaultCase{Greatest: true, Prospective: true})
		if !ok || best.Most != nil && math.Abs(best.Most.A()) >= math.Abs(most.A()) {
			continue
		}
		least, _ := n.Fault(v, back, FaultCase{})
		best = Level{Terminal: n.names[v][0], Return: name, Source: s.ID, Most: most, Least: least}
	}
	return best, best.Most != nil
}

// ResistanceKnown reports whether the internal resistance of every battery of
// a node's network is known; if not, it returns the path of the first that is not.
func (n *Network) ResistanceKnown(v Node) (missing string, known bool) {
	for id, b := range schema.Sorted(n.Spec.Batteries) {
		if !n.SameNetwork(v, n.byID[id].From) {
			continue
		}
		if _, ok := n.BatteryResistance(b, Typical); !ok {
			return b.Path() + ".resistance_mOhm", false
		}
	}
	return "", true
}
