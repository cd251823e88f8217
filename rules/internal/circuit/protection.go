package circuit

import (
	"cmp"
	"math"
	"slices"

	"example.org/headroom/schema"
)

// Side is the pole of a source to which a conductor is tied.
type Side string

// The sides.
const (
	Positive Side = "positive"
	Negative Side = "negative"
)

// Guard is what protects one conductor against one source.
//
// A short between conductors flows round a loop, so one fuse in it is enough,
// in either pole. For a conductor on the positive side the loop closes through
// the parts that hang beyond it and their returns; for one on the negative
// side, through those parts and their feeds. Where the other side is connected to the
// chassis, the loop closes through that as well.
type Guard struct {
	Conductor string
	Source    Source
	Side      Side
	Near, Far Node   // the ends of the conductor, near and far from the source
	Returns   []Node // where the parts beyond the conductor are tied to the other side

	// Fuses lists the fuses and circuit breakers each of which alone breaks every loop
	// through the far end, the smallest rating first; see [Network.Device].
	Fuses []string
	// Bypass lists resistors that may feed the conductor past Fuses and let more
	// through than the policy allows a pre-charge, together BypassA; FusesBut is then
	// what Fuses would be without them. They count as protection where the conductor
	// carries what they let through (IEC 60364-4-43, 436).
	Bypass   []string
	BypassA  float64
	FusesBut []string
	// Exposed reports that the source reaches the far end through no fuse and
	// no resistor; UnfusedM is then the length of conductor on the way there,
	// its own included, and AllowedM what the fuse distance allows.
	Exposed  bool
	UnfusedM float64
	AllowedM float64
	// Resistor is the resistor, with no fuse beside it, that alone limits the
	// current from the source, to ResistorA at the most.
	Resistor  string
	ResistorA float64
	// Inside is what fuses inside batteries do besides: they count for none of the above.
	Inside Inside
	// Gates are resistors of which one lies in every loop through the conductor, fused
	// or not: one alone, or those around a piece of metal that nothing else feeds.
	Gates []Gate
}

// Gate is a resistor, and the most in A that it lets through.
type Gate struct {
	Resistor string
	A        float64
}

// Fuse is the id of the smallest fuse that protects the conductor, "" if none.
func (g Guard) Fuse() string {
	if len(g.Fuses) == 0 {
		return ""
	}
	return g.Fuses[0]
}

// WithinDistance reports whether an exposed conductor is short enough to need
// no fuse of its own.
func (g Guard) WithinDistance() bool { return g.UnfusedM <= g.AllowedM }

// Guards returns, for every conductor, what protects it against each source
// that can feed a fault through it. A conductor that no source reaches has none.
func (n *Network) Guards() map[string][]Guard { return n.guards() }

func (n *Network) findGuards() map[string][]Guard {
	guards := map[string][]Guard{}
	var all []*protection
	for _, s := range n.Sources() {
		all = append(all, newProtection(n, s))
	}
	for _, p := range all {
		p.findForeign(all)
		// The positive side first: what is bare there is reported there, and
		// does not count again against the returns.
		for _, name := range []Side{Positive, Negative} {
			for _, e := range n.Edges {
				if g, ok := p.guard(e, name); ok {
					guards[e.ID] = append(guards[e.ID], g)
				}
			}
		}
	}
	return guards
}

// protection holds what is reached from the two poles of one source. A part
// that ties the source's negative side to another source's positive one takes
// no current from it: it is foreign to it.
type protection struct {
	*Network
	source   Source
	plain    map[Side]*reached // over metal and fuses alone, from each pole
	sides    map[Side]*side
	loadEnds [][2]Node     // both poles of every part that a loop can close through
	beside   []bool        // which of these are batteries beside the source, one itself
	bare     map[Node]bool // far ends of positive conductors that lack a fuse
	others   []*protection // of the other sources
	strong   []*Edge       // resistors that do not trickle
	foreign  []Node        // negative terminals of foreign parts on the source's negative side
	taps     []Node        // of parts on lower batteries of its string
}

// side is what is tied to one pole of a source.
type side struct {
	name     Side
	root     Node
	all      *reached    // over metal, fuses and resistors
	metal    *reached    // over metal and fuses
	unfused  *reached    // over metal alone, by length
	resisted *reached    // over metal and resistors, but no fuse
	sealed   *reached    // over these, but no battery with a fuse inside; resisted where there is none
	inside   []string    // batteries with a fuse inside that come before any other fuse, the smallest rating first
	fed      *dominators // over metal, fuses and all but trickling resistors
	without  *dominators // over metal and fuses; fed where there are no other resistors
	trickled *dominators // over metal, fuses and every resistor
	// loops lists the ends that parts have here, with their other ends, in the
	// order of the walk over the tree trickled.
	loops []loop
	rows  []Node // at which diodes and resistors begin, in the same order
	// every lists the other ends of all but batteries beside one, which are fed nothing.
	every []Node
}

// loop is a part through which a fault can close.
type loop struct{ here, there Node }

// through says which resistors a search passes.
type through int

const (
	noResistor      through = iota
	strongResistors         // not those that trickle
	everyResistor
)

func newProtection(n *Network, s Source) *protection {
	p := &protection{Network: n, source: s, sides: map[Side]*side{}, bare: map[Node]bool{}, plain: map[Side]*reached{}}
	for _, e := range n.Edges {
		switch e.Kind {
		case LoadEdge, ConverterInput, ControllerEdge, CoilEdge, MeterEdge, EnableEdge, ChargerEdge, BatteryEdge, ConverterOutput, ResistorEdge:
			if e.Part != s.ID {
				p.loadEnds = append(p.loadEnds, [2]Node{e.From, e.To})
				p.beside = append(p.beside, e.Kind == BatteryEdge && s.IsBattery())
			}
		}
	}
	for _, e := range n.Edges {
		if e.Kind == ResistorEdge && e.ID == e.Part && !p.trickles(e.Part) {
			p.strong = append(p.strong, e)
		}
	}
	p.plain[Positive] = p.reach(s.Pos, p.plainCost(Positive))
	p.plain[Negative] = p.reach(s.Neg, p.plainCost(Negative))
	p.sides[Positive] = p.search(Positive, s.Pos)
	p.sides[Negative] = p.search(Negative, s.Neg)
	p.findLoops(p.sides[Positive], p.sides[Negative])
	p.findLoops(p.sides[Negative], p.sides[Positive])
	return p
}

func (p *protection) search(name Side, root Node) *side {
	s := &side{name: name, root: root}
	s.all = p.reach(root, p.cost(name, true, everyResistor))
	s.metal = p.reach(root, p.cost(name, true, noResistor))
	s.unfused = p.reach(root, p.cost(name, false, noResistor))
	s.resisted = p.reach(root, p.cost(name, false, everyResistor))
	s.sealed = s.resisted
	if cost := p.cost(name, false, everyResistor); p.hasInside() {
		s.sealed = p.reach(root, func(e *Edge, enter Node) (float64, bool) {
			if p.opensInside(e) {
				return 0, false
			}
			return cost(e, enter)
		})
	}
	s.inside = p.firstInside(s)
	s.fed = p.dominators(root, p.use(name, strongResistors))
	s.trickled = p.dominators(root, p.use(name, everyResistor))
	s.without = s.fed
	if len(p.strong) > 0 {
		s.without = p.dominators(root, p.use(name, noResistor))
	}
	for v := range Node(p.Nodes()) {
		if s.trickled.has(v) && slices.ContainsFunc(p.at[v], p.inChain) {
			s.rows = append(s.rows, v)
		}
	}
	slices.SortFunc(s.rows, func(a, b Node) int { return cmp.Compare(s.trickled.in[a], s.trickled.in[b]) })
	return s
}

// findLoops lists the parts that tie one side to the other.
func (p *protection) findLoops(here, there *side) {
	for i, ends := range p.loadEnds {
		// A part both of whose poles lie on one side closes no loop.
		if here.all.has(ends[0]) && here.all.has(ends[1]) && !(there.all.has(ends[0]) || there.all.has(ends[1])) {
			continue
		}
		for _, l := range []loop{{ends[0], ends[1]}, {ends[1], ends[0]}} {
			if here.all.has(l.here) && there.all.has(l.there) {
				here.loops = append(here.loops, l)
				if !p.beside[i] {
					here.every = append(here.every, l.there)
				}
			}
		}
	}
	slices.SortFunc(here.loops, func(a, b loop) int {
		return cmp.Or(cmp.Compare(here.trickled.in[a.here], here.trickled.in[b.here]), cmp.Compare(a.there, b.there))
	})
	here.every = sortedNodes(here.every)
}

func sortedNodes(nodes []Node) []Node {
	slices.Sort(nodes)
	return slices.Compact(nodes)
}

// use is cost without the length.
func (p *protection) use(name Side, resistors through) may {
	cost := p.cost(name, true, resistors)
	return func(e *Edge, enter Node) bool {
		_, ok := cost(e, enter)
		return ok
	}
}

// cost is the length in m of an edge on one side: everything closed, fuses and
// resistors as told. Another battery is passed only from the pole that makes
// it part of a series string.
func (p *protection) cost(name Side, fuses bool, resistors through) func(*Edge, Node) (float64, bool) {
	return func(e *Edge, enter Node) (float64, bool) {
		if e.Protects() {
			return 0, fuses
		}
		switch e.Kind {
		case WireEdge, BusbarEdge:
			return p.length(e), true
		case SwitchEdge, ContactEdge, ShuntEdge, PlugEdge:
			return 0, true
		case DiodeEdge:
			return 0, (enter == e.From) == (name == Positive) && !p.ties(e, enter, name)
		case ResistorEdge:
			if resistors == noResistor || e.ID != e.Part || resistors == strongResistors && p.trickles(e.Part) {
				return 0, false
			}
			return 0, !p.ties(e, enter, name)
		case BatteryEdge:
			return 0, e.Part != p.source.ID && (enter == e.To) == (name == Positive)
		}
		return 0, false
	}
}

// length is what a conductor counts towards the fuse distance, in m. One that
// joins two batteries of a string is part of the pack that they make, and
// counts for nothing.
func (p *protection) length(e *Edge) float64 {
	if p.IsStringLink(e) {
		return 0
	}
	return p.conductorM(e)
}

// trickles reports whether a resistor passes no more from the source than the
// policy allows a pre-charge.
func (p *protection) trickles(id string) bool {
	return p.source.StringV/p.Spec.Resistors[id].ResistanceOhm <= p.Spec.Policy.PrechargeBypassA
}

// guard works out what protects one conductor against the source, if it lies
// on the given side.
func (p *protection) guard(e *Edge, name Side) (Guard, bool) {
	p.proceed()
	if !e.IsConductor() || e.From == e.To {
		return Guard{}, false
	}
	if on, ok := p.sideOf(e); !ok || on != name || name == Negative && p.feedOfAnother(e) {
		return Guard{}, false
	}
	here, there := p.sides[name], p.sides[Positive]
	if name == Positive {
		there = p.sides[Negative]
	}
	g := Guard{Conductor: e.ID, Source: p.source, Side: name, Near: e.From, Far: e.To}
	// What comes over metal counts before what a resistor lets through.
	way := here.metal
	if !way.has(e.From) {
		way = here.all
	}
	if p.meetsLater(way, e) {
		g.Near, g.Far = e.To, e.From
	}
	beyond := p.beyond(e, here, g)
	if beyond.ring != nil {
		defer p.giveBack(beyond.ring)
	}
	g.Returns = here.returns(beyond)
	if len(g.Returns) == 0 {
		g.Returns = p.rowEnds(e, here, beyond, there)
	}
	if len(g.Returns) == 0 && name == Positive {
		g.Returns = here.every // a lead on which nothing hangs: back by any return
	} else if len(g.Returns) == 0 {
		stray, credible := p.strayReturns(here, beyond)
		if !credible {
			return Guard{}, false
		}
		g.Returns = stray
	}
	closes := p.closes(g, here, there)
	var alone []string
	g.Fuses, alone = p.fusesFor(g.Far, closes, here.fusesOver, there.fusesOver)
	p.bypass(&g, closes, here, there)
	p.exposure(&g, closes, here, there)
	g.Inside = p.insideFor(alone, g.Far, closes, here, there)
	g.Gates = p.gatesOf(g, here, there)
	if g.Exposed && !g.WithinDistance() && name == Positive {
		p.bare[g.Far] = true
	}
	return g, true
}

// sideOf tells to which pole of the source a conductor is tied. Where both reach
// it, metal counts before a resistor, and then the shorter way: a closed
// changeover contact ties it to both, or a resistor from pole to pole.
func (p *protection) sideOf(e *Edge) (Side, bool) {
	pos, neg := p.sides[Positive], p.sides[Negative]
	for _, of := range []func(*side) *reached{
		func(s *side) *reached { return s.metal },
		func(s *side) *reached { return s.all },
	} {
		far := func(s *side) float64 { return max(of(s).cost[e.From], of(s).cost[e.To]) }
		switch a, b := far(pos), far(neg); {
		case math.IsInf(a, 1) && math.IsInf(b, 1):
		case a <= b:
			return Positive, true
		default:
			return Negative, true
		}
	}
	return "", false
}

// feedOfAnother reports whether a conductor is tied to the source's negative side by a
// resistor alone, and by metal to another source's positive one: with a common negative
// that is the feed of a heater, and no return of this source.
func (p *protection) feedOfAnother(e *Edge) bool {
	return !p.sides[Negative].metal.has(e.From) && slices.ContainsFunc(p.others, func(other *protection) bool {
		return other.sides[Positive].metal.has(e.From)
	})
}

// closes lists the nodes of the other side at which a short circuit through a
// conductor may close: its returns and, where the other side is the one that is
// connected to the chassis, the chassis, which anything may touch.
func (p *protection) closes(g Guard, here, there *side) []Node {
	chassis, ok := p.Node(schema.Chassis)
	if !ok || len(g.Returns) == 0 || !there.metal.has(chassis) || here.metal.has(chassis) {
		return g.Returns
	}
	return sortedNodes(append(slices.Clone(g.Returns), chassis))
}

// fusesFor lists the fuses each of which alone breaks every loop: those on
// every way to the far end, and those on every way to where it closes; and the
// batteries of which the fuse inside does so.
func (p *protection) fusesFor(far Node, closes []Node, here, there func([]Node) []int) (ids, inside []string) {
	for _, i := range append(here([]Node{far}), there(closes)...) {
		if e := p.Edges[i]; e.Protects() {
			ids = append(ids, e.Part)
		} else {
			inside = append(inside, e.Part)
		}
	}
	slices.SortFunc(ids, func(a, b string) int {
		return cmp.Or(cmp.Compare(p.Device(a).RatedA, p.Device(b).RatedA), cmp.Compare(a, b))
	})
	return slices.Compact(ids), inside
}

// fusesOver lists the fuses each of which leaves every one of the nodes dead
// when it is out. A trickle that is left through a pre-charge resistor does
// not count where a node is fed by more, but it does where it is all that
// feeds it.
func (s *side) fusesOver(nodes []Node) []int { return s.fusesBy(s.fed, nodes) }

func (s *side) fusesBy(fed *dominators, nodes []Node) []int {
	var strong, weak []Node
	for _, v := range nodes {
		if fed.has(v) {
			strong = append(strong, v)
		} else {
			weak = append(weak, v)
		}
	}
	switch {
	case len(weak) == 0:
		return fed.fusesOver(strong)
	case len(strong) == 0:
		return s.trickled.fusesOver(weak)
	}
	both := s.trickled.fusesOver(weak)
	return slices.DeleteFunc(fed.fusesOver(strong), func(f int) bool { return !slices.Contains(both, f) })
}

// exposure decides whether the source reaches the conductor with no fuse in
// the loop, and over what length.
func (p *protection) exposure(g *Guard, closes []Node, here, there *side) {
	open := here.unfused.has(g.Far)
	resisted := here.resisted.has(g.Far)
	if len(closes) > 0 {
		open := func(v Node) bool { return there.resisted.has(v) && !p.bare[v] }
		if !slices.ContainsFunc(closes, open) {
			return
		}
	}
	switch {
	case open:
		g.Exposed = true
		g.UnfusedM, g.AllowedM = p.distance(here, *g)
	case resisted:
		g.Resistor, g.ResistorA = p.limiter(here, g.Far)
	}
}

// limiter finds the resistor on the way to a node.
func (p *protection) limiter(s *side, v Node) (string, float64) {
	for v != s.root {
		e := s.resisted.by[v]
		if e.Kind == ResistorEdge {
			return e.Part, p.source.StringV / p.Spec.Resistors[e.Part].ResistanceOhm
		}
		v = e.Other(v)
	}
	return "", 0
}

// distance returns the length of unfused conductor to the far end of a
// conductor, and what is allowed: on a boat the long distance for a sheathed run
// that starts on the battery's terminal, the middle one for other sheathed runs,
// the short one for what lies bare. Of a mixed run the bare part alone must
// stay within the short distance.
func (p *protection) distance(s *side, g Guard) (length, allowed float64) {
	policy := p.Spec.Policy
	var bare float64
	for v := g.Far; v != s.root; {
		e := s.unfused.by[v]
		if e.IsConductor() && !p.Covered(e.ID) && !p.IsStringLink(e) {
			meters, _ := p.cost(s.name, false, noResistor)(e, v)
			bare += meters
		}
		v = e.Other(v)
	}
	length = s.unfused.cost[g.Far]
	switch {
	case bare > 0 && (bare > policy.FuseDistanceM || !p.Covered(g.Conductor)):
		return length, policy.FuseDistanceM
	case g.Near == s.root && p.source.IsBattery() && p.Spec.Vehicle.Use == "boat":
		return length, policy.FuseDistanceAtBatteryM
	}
	return length, policy.FuseDistanceSheathedM
}

// Covered reports whether a conductor runs in a sheath or an enclosure.
func (n *Network) Covered(id string) bool {
	if w, ok := n.Spec.Wires[id]; ok {
		return w.Sheathed || w.Enclosed
	}
	return n.Spec.Busbars[id].Enclosed
}
