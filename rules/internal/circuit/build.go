package circuit

import (
	"slices"
	"strings"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// builder fills a network. Terminals that are one piece of metal are merged
// with a union-find over provisional nodes before the final numbering.
type builder struct {
	*Network
	order []string       // terminal names in the order of declaration
	index map[string]int // provisional node of a terminal
	join  unionFind

	turned map[string]bool // parts whose conductors are exchanged
}

func (b *builder) terminals() {
	b.index = map[string]int{}
	add := func(name string) {
		b.index[name] = len(b.order)
		b.order = append(b.order, name)
	}
	for id, p := range b.Spec.Parts() {
		for _, t := range p.Terminals() {
			add(id + "." + t.Name)
		}
	}
	add(schema.Chassis)
	b.join = newUnionFind(len(b.order))
}

// merge makes two terminals one node; names that do not exist are passed over.
func (b *builder) merge(x, y string) {
	i, ok := b.index[x]
	j, ok2 := b.index[y]
	if ok && ok2 {
		b.join.union(i, j)
	}
}

// edge adds an edge between two terminals, to be numbered by finish.
func (b *builder) edge(id string, kind Kind, part, from, to string) {
	i, ok := b.index[from]
	j, ok2 := b.index[to]
	if !ok || !ok2 {
		return
	}
	e := &Edge{ID: id, Kind: kind, Part: part, From: Node(i), To: Node(j), index: len(b.Edges)}
	b.Edges = append(b.Edges, e)
	b.byID[id] = e
	b.byPart[part] = append(b.byPart[part], e)
}

func (b *builder) conductors() {
	for _, w := range schema.Sorted(b.Spec.Wires) {
		ohm, err := wireResistance(w)
		b.conductor(&w.Conductor, WireEdge, ohm, err)
	}
	for _, bar := range schema.Sorted(b.Spec.Busbars) {
		ohm, err := calc.BarResistance(BarOf(bar), bar.LengthMM/1000, 20)
		b.conductor(&bar.Conductor, BusbarEdge, ohm, err)
	}
}

// blocks makes the ways of each block one node: between its ways a block has far less
// resistance than a conductor's lugs.
func (b *builder) blocks() {
	for id, block := range b.Spec.Blocks {
		ways := block.Terminals()
		for _, way := range ways[min(1, len(ways)):] {
			b.merge(id+"."+ways[0].Name, id+"."+way.Name)
		}
	}
}

// conductor adds a conductor of a resistance at 20 C. One whose resistance
// cannot be computed counts as one that could not be read.
func (b *builder) conductor(c *schema.Conductor, kind Kind, ohm float64, err error) {
	if err != nil {
		b.broken = append(b.broken, c.Path())
		return
	}
	b.resistance[c.ID] = ohm + 2*b.Spec.Policy.JointResistanceMOhm/1000
	b.edge(c.ID, kind, c.ID, b.end(c.From), b.end(c.To))
}

// end is the terminal on which a conductor ends: at a part that is turned the other one.
func (b *builder) end(terminal string) string {
	id, pole, _ := strings.Cut(terminal, ".")
	if !b.turned[id] {
		return terminal
	}
	switch pole {
	case "pos":
		return id + ".neg"
	case "neg":
		return id + ".pos"
	case "in_pos":
		return id + ".in_neg"
	case "in_neg":
		return id + ".in_pos"
	}
	return terminal
}

// BarOf is a bus bar as the arithmetic takes it.
func BarOf(b *schema.Busbar) calc.Bar {
	metal := calc.Copper()
	if b.Material == "aluminium" {
		metal = calc.Aluminium()
	}
	return calc.Bar{WidthMM: b.WidthMM, ThicknessMM: b.ThicknessMM, Metal: metal, Painted: b.Finish == "painted"}
}

func wireResistance(w *schema.Wire) (float64, error) {
	size, err := calc.ParseSize(w.Size)
	if err != nil {
		return 0, err
	}
	if w.Tinned {
		size = size.Tinned()
	}
	return calc.Resistance(size, w.LengthM, 20)
}

func (b *builder) parts() {
	for id, p := range b.Spec.Parts() {
		t := func(name string) string { return id + "." + name }
		switch p := p.(type) {
		case *schema.Battery:
			b.edge(id, BatteryEdge, id, t("pos"), t("neg"))
			if p.HasChargePort() {
				b.edge(t("charge"), PlugEdge, id, t("charge"), t(map[string]string{"negative": "neg", "positive": "pos"}[p.BMS.Side]))
			}
		case *schema.Fuse:
			b.edge(id, FuseEdge, id, t("a"), t("b"))
		case *schema.Breaker:
			b.edge(id, SwitchEdge, id, t("a"), t("b"))
			b.edge(t("2"), SwitchEdge, id, t("a2"), t("b2"))
			for _, e := range b.byPart[id] {
				e.breaker = true
			}
		case *schema.Cutout:
			b.edge(id, SwitchEdge, id, t("a"), t("b"))
		case *schema.Disconnect:
			b.edge(id, SwitchEdge, id, t("a"), t("b"))
			b.edge(t("2"), SwitchEdge, id, t("a2"), t("b2"))
		case *schema.Contactor:
			b.edge(t("contact"), ContactEdge, id, t("a"), t("b"))
			b.edge(t("coil"), CoilEdge, id, t("coil_pos"), t("coil_neg"))
			b.edge(t("aux"), ContactEdge, id, t("aux_a"), t("aux_b"))
		case *schema.Relay:
			b.edge(t("no"), ContactEdge, id, t("common"), t("no"))
			b.edge(t("nc"), ContactEdge, id, t("common"), t("nc"))
			b.edge(t("coil"), CoilEdge, id, t("coil_pos"), t("coil_neg"))
			b.edge(t("aux"), ContactEdge, id, t("aux_a"), t("aux_b"))
		case *schema.Timer:
			b.edge(t("no"), ContactEdge, id, t("common"), t("no"))
			b.edge(t("coil"), CoilEdge, id, t("pos"), t("neg"))
		case *schema.Resistor:
			b.edge(id, ResistorEdge, id, t("a"), t("b"))
		case *schema.Connector:
			b.connector(p)
		case *schema.Shunt:
			b.edge(id, ShuntEdge, id, t("a"), t("b"))
			b.merge(t("sense_a"), t("a"))
			b.merge(t("sense_b"), t("b"))
		case *schema.Meter:
			b.edge(t("supply"), MeterEdge, id, t("pos"), t("neg"))
			b.edge(t("sense"), MeterEdge, id, t("sense_a"), t("sense_b"))
		case *schema.Switch:
			for pole := range schema.Sorted(p.Poles) {
				b.edge(t(pole), SwitchEdge, id, t(pole+"_a"), t(pole+"_b"))
			}
		case *schema.Converter:
			b.edge(t("in"), ConverterInput, id, t("in_pos"), t("in_neg"))
			b.edge(t("out"), ConverterOutput, id, t("out_pos"), t("out_neg"))
			b.edge(t("enable"), EnableEdge, id, t("enable"), t("in_neg"))
			if !p.Isolated {
				b.merge(t("in_neg"), t("out_neg"))
			}
		case *schema.Charger:
			b.edge(id, ChargerEdge, id, t("pos"), t("neg"))
		case *schema.Solar:
			b.edge(id, ChargerEdge, id, t("pos"), t("neg"))
		case *schema.Controller:
			b.edge(id, ControllerEdge, id, t("pos"), t("neg"))
			b.edge(t("enable"), EnableEdge, id, t("enable"), t("neg"))
			b.edge(t("coil_out"), SwitchEdge, id, t("coil_out"), t("neg"))
			if p.BleedKOhm.Known {
				b.edge(t("bleed"), ResistorEdge, id, t("pos"), t("neg"))
			}
		case *schema.Load:
			b.edge(id, LoadEdge, id, t("pos"), t("neg"))
		case *schema.Diode:
			b.edge(id, DiodeEdge, id, t("anode"), t("cathode"))
		}
	}
}

// chassis joins the vehicle's metalwork to the negative side of the house
// network where the spec says that they are one, unless a conductor does.
func (b *builder) chassis() {
	if b.Spec.Vehicle.Chassis != "house-negative" {
		return
	}
	for _, e := range b.Edges {
		if e.IsConductor() && (b.order[e.From] == schema.Chassis || b.order[e.To] == schema.Chassis) {
			return
		}
	}
	for id, bat := range schema.Sorted(b.Spec.Batteries) {
		if bat.Role == "auxiliary" {
			b.merge(schema.Chassis, id+".neg")
			return
		}
	}
	for id := range schema.Sorted(b.Spec.Converters) {
		b.merge(schema.Chassis, id+".out_neg")
		return
	}
}

// finish numbers the merged nodes and indexes edges by node.
func (b *builder) finish() {
	number := map[int]Node{}
	for i, name := range b.order {
		root := b.join.find(i)
		v, ok := number[root]
		if !ok {
			v = Node(len(b.names))
			number[root] = v
			b.names = append(b.names, nil)
		}
		b.Network.terminals[name] = v
		b.names[v] = append(b.names[v], name)
	}
	b.at = make([][]*Edge, len(b.names))
	for _, e := range b.Edges {
		e.From = number[b.join.find(int(e.From))]
		e.To = number[b.join.find(int(e.To))]
		b.at[e.From] = append(b.at[e.From], e)
		if e.To != e.From {
			b.at[e.To] = append(b.at[e.To], e)
		}
	}
	b.closedOhm, b.closedAssumed = make([]float64, len(b.Edges)), make([]bool, len(b.Edges))
	for k, e := range b.Edges {
		switch e.Kind {
		case SwitchEdge, ContactEdge, PlugEdge:
			b.closedOhm[k], b.closedAssumed[k] = b.closedResistance(e)
		case DiodeEdge:
			b.diodes = append(b.diodes, e)
		}
	}
	b.pattern = newPattern(b.Nodes(), b.Edges)
	b.networks()
	b.taint()
	b.references()
}

// closedResistance is the resistance of a closed switch or contact, in Ohm, and
// whether it is the policy's default.
func (n *Network) closedResistance(e *Edge) (ohm float64, assumed bool) {
	if e.ID == e.Part+".aux" {
		return n.contactResistance(schema.Number{}, n.auxiliary(e.Part).CarryA)
	}
	switch p := n.Spec.Part(e.Part).(type) {
	case *schema.Breaker:
		return n.contactResistance(p.ResistanceMOhm, schema.Some(p.RatedA))
	case *schema.Cutout:
		return n.contactResistance(p.Contact.ResistanceMOhm, p.Contact.CarryA)
	case *schema.Disconnect:
		return n.contactResistance(p.ResistanceMOhm, p.CarryA)
	case *schema.Contactor:
		return n.contactResistance(p.Contact.ResistanceMOhm, p.Contact.CarryA)
	case *schema.Relay:
		return n.contactResistance(p.Contact.ResistanceMOhm, p.Contact.CarryA)
	case *schema.Timer:
		return n.contactResistance(p.Contact.ResistanceMOhm, p.Contact.CarryA)
	case *schema.Connector:
		return n.plugResistance(p, e)
	case *schema.Switch:
		return n.contactResistance(schema.Number{}, p.Poles[e.ID[len(e.Part)+1:]].CarryA)
	case *schema.Controller:
		return n.contactResistance(schema.Number{}, p.CoilOut.MaxA)
	}
	return leastOhm, false
}

// networks numbers what belongs together with every switch closed: over metal
// alone, galvanically, and galvanically with converters taken as joints.
func (b *builder) networks() {
	metal, fixed := newUnionFind(b.Nodes()), newUnionFind(b.Nodes())
	for _, e := range b.Edges {
		if !e.Conducts() {
			continue
		}
		metal.union(int(e.From), int(e.To))
		if e.Kind != SwitchEdge && e.Kind != ContactEdge {
			fixed.union(int(e.From), int(e.To))
		}
	}
	b.metal, b.fixed = metal.roots(), fixed.roots()
	u := newUnionFind(b.Nodes())
	for _, e := range b.Edges {
		u.union(int(e.From), int(e.To))
	}
	b.galvanic = u.roots()
	for id := range schema.Sorted(b.Spec.Converters) {
		in, out := b.byID[id+".in"], b.byID[id+".out"]
		u.union(int(in.From), int(out.From))
	}
	b.whole = u.roots()
}

// taint maps each network that touches a broken part to the part's path.
// Converters carry the taint across, since a converter without its input gives
// no output. A consumer or meter spoils its own galvanic network alone: it feeds
// nothing and switches nothing.
func (b *builder) taint() {
	b.tainted, b.taintedNear = map[int]string{}, map[int]string{}
	markNear := func(v Node, path string) {
		if root := b.galvanic[v]; b.taintedNear[root] == "" {
			b.taintedNear[root] = path
		}
	}
	mark := func(v Node, path string) {
		if root := b.whole[v]; b.tainted[root] == "" {
			b.tainted[root] = path
		}
	}
	for _, path := range b.broken {
		kind, id, _ := strings.Cut(path, ".")
		switch kind {
		case "wires", "busbars":
			// Where it ends is in doubt, and with it the whole circuit.
			for v := range b.names {
				mark(Node(v), path)
			}
		default:
			spoil := mark
			if kind == "loads" || kind == "meters" {
				spoil = markNear
			}
			for _, c := range b.Spec.Conductors() {
				for _, ends := range [][2]string{{c.From, c.To}, {c.To, c.From}} {
					if v, ok := b.Node(ends[1]); ok && partOf(ends[0]) == id {
						spoil(v, path)
					}
				}
			}
		}
	}
}

// references lists all nodes, those first that a person measures against.
func (b *builder) references() {
	add := func(name string) {
		if v, ok := b.Node(name); ok {
			b.reference = append(b.reference, v)
		}
	}
	add(schema.Chassis)
	for id, battery := range schema.Sorted(b.Spec.Batteries) {
		if battery.Role == "auxiliary" {
			add(id + ".neg")
		}
	}
	for id := range schema.Sorted(b.Spec.Batteries) {
		add(id + ".neg")
	}
	for id := range schema.Sorted(b.Spec.Converters) {
		add(id + ".out_neg")
	}
	for v := range b.names {
		b.reference = append(b.reference, Node(v))
	}
}

// unionFind is a disjoint-set forest.
type unionFind []int

func newUnionFind(n int) unionFind {
	u := make(unionFind, n)
	u.part()
	return u
}

// part makes each a set of its own again.
func (u unionFind) part() {
	for i := range u {
		u[i] = i
	}
}

func (u unionFind) find(i int) int {
	for u[i] != i {
		u[i] = u[u[i]]
		i = u[i]
	}
	return i
}

// union joins two sets under the smaller root, so that the outcome does not
// depend on the order of calls more than it must.
func (u unionFind) union(i, j int) {
	i, j = u.find(i), u.find(j)
	if i > j {
		i, j = j, i
	}
	u[j] = i
}

// flatten makes every element point to its root, after which nothing is left to
// compress and several goroutines may read.
func (u unionFind) flatten() {
	for i := range u {
		u[i] = u[u[i]] // which comes before it and points to its root by now
	}
}

// roots returns the root of every element.
func (u unionFind) roots() []int {
	u.flatten()
	return slices.Clone(u)
}
