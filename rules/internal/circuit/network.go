package circuit

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"example.org/headroom/schema"
)

// Node is an electrical node: one terminal, or several that are one piece of metal.
type Node int

// Kind says what an edge is.
type Kind int

// The kinds of edges.
const (
	WireEdge        Kind = iota // a wire
	BusbarEdge                  // a bus bar
	FuseEdge                    // a fuse-link
	SwitchEdge                  // a pole of a hand-operated switch, disconnect or breaker, a cut-out, or a driver output
	ContactEdge                 // a contact operated by a coil
	ShuntEdge                   // a measuring shunt
	PlugEdge                    // a contact of a connector, closed unless a mode parts it, or the charge port of a battery
	ResistorEdge                // a power resistor, or a controller's bleed resistor
	DiodeEdge                   // a diode, anode to cathode
	CoilEdge                    // a coil
	LoadEdge                    // a consumer
	MeterEdge                   // a meter's supply or sense input
	BatteryEdge                 // a battery, pos to neg
	ConverterInput              // in_pos to in_neg
	ConverterOutput             // out_pos to out_neg
	ControllerEdge              // a controller's power input, pos to neg
	EnableEdge                  // a logic or enable input
	ChargerEdge                 // the output of a charger or of a solar regulator, pos to neg
)

// Edge is one element of the network.
type Edge struct {
	// ID names the edge: the part's or conductor's id, with the inner path
	// after a dot where a part has several: "w1", "main", "k1.contact",
	// "k1.coil", "key.house", "isolator.2", "dcdc.in", "dcdc.out", "drive",
	// "inlet.1", "inlet.inhibit", "pack.charge", "drive.bleed", "drive.enable", "drive.coil_out", "ammeter.sense".
	ID       string
	Kind     Kind
	Part     string // id of the part or conductor
	From, To Node

	index   int
	breaker bool // a pole of a circuit breaker
}

// Protects reports whether the edge opens by itself on too much current: a fuse, or a
// pole of a circuit breaker, which is a switch besides.
func (e *Edge) Protects() bool { return e.Kind == FuseEdge || e.breaker }

// Conducts reports whether the edge is plain metal when closed: a conductor, a
// fuse, a shunt, a switch, a contact or a plug.
func (e *Edge) Conducts() bool {
	switch e.Kind {
	case WireEdge, BusbarEdge, FuseEdge, SwitchEdge, ContactEdge, ShuntEdge, PlugEdge:
		return true
	}
	return false
}

// IsConductor reports whether the edge is a wire or a bus bar.
func (e *Edge) IsConductor() bool { return e.Kind == WireEdge || e.Kind == BusbarEdge }

// Before compares two edges by their place in Network.Edges.
func Before(a, b *Edge) int { return a.index - b.index }

// Other returns the node at the other end of the edge.
func (e *Edge) Other(n Node) Node {
	if n == e.From {
		return e.To
	}
	return e.From
}

// Network is the circuit of one vehicle. It keeps what it has solved, so that
// rules may ask again at no cost, and may be asked from several goroutines.
type Network struct {
	Spec  *schema.Spec
	Edges []*Edge // conductors first, then parts, in the order of their ids

	terminals     map[string]Node // by terminal name
	names         [][]string      // terminal names of each node
	at            [][]*Edge       // edges at each node
	byID          map[string]*Edge
	byPart        map[string][]*Edge
	pattern       *pattern
	closedOhm     []float64          // of each switch and contact edge
	closedAssumed []bool             // which of them are the policy's default
	resistance    map[string]float64 // of conductors at 20 C
	broken        []string           // paths of what could not be read
	tainted       map[int]string     // see taint
	taintedNear   map[int]string     // the same by galvanic network
	diodes        []*Edge
	metal         []int           // number of what metal joins to each node
	fixed         []int           // the same over what cannot open, fuses included
	galvanic      []int           // number of the galvanic network of each node
	whole         []int           // the same with converters taken as joints
	reference     []Node          // see references
	out           map[string]bool // see Mended

	asked      memo[Case, *Solution]
	solved     memo[Case, *Solution]          // by canonical case
	factors    memo[Case, *factor]            // see factorOf
	slacks     memo[Case, *slack]             // see Unmoved
	alike      memo[Case, map[content]string] // see firstAlike
	contents   func() map[string]content
	modes      func() []string
	implied    func() map[string]*schema.Mode
	states     func() []string         // declared and implied
	together   atomic.Pointer[[]int]   // see sharedTogether
	devices    map[string]*schema.Fuse // breakers as fuses, by id
	thevenins  memo[FaultCase, *thevenin]
	resting    memo[FaultCase, *thevenin] // see beforeFault
	turnings   memo[FaultCase, *thevenin] // see turned
	courses    memo[Transient, *Course]
	heat       memo[heatKey, CoilHeat]
	wirings    memo[float64, *wiring] // by temperature
	coiled     memo[Coil, []coilState]
	ordered    memo[modeLoads, []order] // see ordersOf
	plan       func() *plan
	ctx        context.Context // nil for no end; see Until
	solvers    sync.Pool       // of *solver: those that are free
	searches   sync.Pool       // of *reached, likewise
	joints     func() *joints
	links      func() map[*Edge]StringLink // see StringLink
	blocks     func() *blocks
	phases     func() map[*Edge]Phase // see PhaseOf
	guards     func() map[string][]Guard
	sources    func() []Source
	traction   func() Nodes           // see OnTraction
	cutting    func() map[string]bool // see CutsOff
	unfinished func() map[string]Unfinished
	fed        memo[*Solution, fed] // see Behind
	switched   memo[Node, Nodes]    // see switches
}

// Node returns the node of a terminal such as "main.a".
func (n *Network) Node(terminal string) (Node, bool) {
	v, ok := n.terminals[terminal]
	return v, ok
}

// Terminals lists the terminals of a node, in the order in which they were declared.
func (n *Network) Terminals(v Node) []string { return n.names[v] }

// Nodes is the number of nodes.
func (n *Network) Nodes() int { return len(n.names) }

// Edge returns the edge of an id, or nil.
func (n *Network) Edge(id string) *Edge { return n.byID[id] }

// EdgesAt lists the edges at a node.
func (n *Network) EdgesAt(v Node) []*Edge { return n.at[v] }

// ConductorsAt lists the wires and bus bars at a node.
func (n *Network) ConductorsAt(v Node) (out []*Edge) {
	for _, e := range n.at[v] {
		if e.IsConductor() {
			out = append(out, e)
		}
	}
	return out
}

// FuseAt is the one fuse or breaker at a node; "" where there is none, or where several stand
// side by side, none of which can protect what feeds them all.
func (n *Network) FuseAt(v Node) (id string) {
	for _, e := range n.at[v] {
		if !e.Protects() {
			continue
		}
		if id != "" && id != e.Part {
			return ""
		}
		id = e.Part
	}
	return id
}

// EdgesOf lists the edges of a part or conductor.
func (n *Network) EdgesOf(part string) []*Edge { return n.byPart[part] }

// Connected reports whether a conductor ends on the terminal.
func (n *Network) Connected(terminal string) bool {
	v, ok := n.terminals[terminal]
	if !ok {
		return false
	}
	for _, e := range n.at[v] {
		if e.IsConductor() {
			return true
		}
	}
	// A terminal that is one metal with another needs no conductor of its own.
	return len(n.names[v]) > 1
}

// Tainted returns a part or conductor that could not be read and that touches
// the same galvanic network as the node, so that nothing computed there can be
// trusted; "" if there is none.
func (n *Network) Tainted(v Node) string {
	if len(n.broken) == 0 {
		return ""
	}
	return cmp.Or(n.tainted[n.whole[v]], n.taintedNear[n.galvanic[v]])
}

// New builds the network of a spec. A conductor whose end does not exist is
// left out: the loader has reported it.
func New(spec *schema.Spec) *Network { return newNetwork(spec, nil) }

// newNetwork builds the network of a spec with the conductors of some batteries
// exchanged.
func newNetwork(spec *schema.Spec, turned map[string]bool) *Network {
	n := &Network{
		Spec:       spec,
		terminals:  map[string]Node{},
		byID:       map[string]*Edge{},
		byPart:     map[string][]*Edge{},
		resistance: map[string]float64{},
		broken:     spec.Broken(),
	}
	n.findDevices()
	b := builder{Network: n, turned: turned}
	b.terminals()
	b.blocks()
	b.conductors()
	b.parts()
	b.chassis()
	b.finish()
	n.plan = sync.OnceValue(n.newPlan)
	n.contents = sync.OnceValue(n.findContents)
	n.modes = sync.OnceValue(func() []string { return slices.Sorted(maps.Keys(n.Spec.Modes)) })
	n.implied = sync.OnceValue(n.findImplied)
	n.states = sync.OnceValue(n.findStates)
	n.joints = sync.OnceValue(n.findJoints)
	n.links = sync.OnceValue(n.findStringLinks)
	n.blocks = sync.OnceValue(n.findBlocks)
	n.phases = sync.OnceValue(n.findPhases)
	n.guards = sync.OnceValue(n.findGuards)
	n.sources = sync.OnceValue(n.findSources)
	n.traction = sync.OnceValue(n.findTraction)
	n.cutting = sync.OnceValue(n.findCutting)
	n.unfinished = sync.OnceValue(n.findUnfinished)
	return n
}

// Mended returns the network mended of some faults, to tell what follows from
// them: with parts, conductors or elements such as "k1.coil" that carry nothing
// in any solution, and with batteries whose two conductors are exchanged. Where
// the former are is not changed, nor what protects what.
func (n *Network) Mended(out, turned []string) *Network {
	rest := newNetwork(n.Spec, setOf(turned))
	rest.out, rest.ctx = setOf(out), n.ctx
	return rest
}

// Out reports whether a part or element is one that carries nothing; see Mended.
func (n *Network) Out(id string) bool { return n.out[id] }

func setOf(ids []string) map[string]bool {
	set := make(map[string]bool, len(ids))
	for _, id := range ids {
		set[id] = true
	}
	return set
}

// partOf is the part of a terminal name.
func partOf(terminal string) string {
	id, _, _ := strings.Cut(terminal, ".")
	return id
}

// memo keeps what was computed by key, for several goroutines. Two that ask for
// the same key at once may both compute it, to the same end.
type memo[K comparable, V any] struct {
	lock sync.RWMutex
	kept map[K]V
}

// peek returns what is kept of a key.
func (m *memo[K, V]) peek(key K) (V, bool) {
	m.lock.RLock()
	defer m.lock.RUnlock()
	v, ok := m.kept[key]
	return v, ok
}

func (m *memo[K, V]) get(key K, compute func() V) V {
	if v, ok := m.peek(key); ok {
		return v
	}
	v := compute()
	m.lock.Lock()
	defer m.lock.Unlock()
	if first, ok := m.kept[key]; ok {
		return first
	}
	if m.kept == nil {
		m.kept = map[K]V{}
	}
	m.kept[key] = v
	return v
}
