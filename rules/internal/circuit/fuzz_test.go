package circuit

import (
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.org/headroom/schema"
)

// choices are taken from fuzzed bytes, one after the other; behind the last all are 0.
type choices []byte

func (c *choices) of(n int) int {
	if len(*c) == 0 {
		return 0
	}
	b := int((*c)[0])
	*c = (*c)[1:]
	return b % n
}

// seeds are some sequences of bytes that choose much.
func seeds(f *testing.F) {
	for seed := range byte(12) {
		text := make([]byte, 96)
		for i := range text {
			text[i] = byte(int(seed+1) * (i*i + 7*i + 3))
		}
		f.Add(text)
	}
}

// soundSpecs are the sound vehicles, the small ones first.
func soundSpecs(t testing.TB) (specs []*schema.Spec) {
	root := filepath.Join("..", "..", "..", "testdata")
	targets, err := schema.Find([]string{filepath.Join(root, "first"), filepath.Join(root, "sound"), filepath.Join(root, "fleet", "heron")}, schema.Options{})
	if err != nil || len(targets) < 10 {
		t.Fatal(len(targets), err)
	}
	for _, target := range targets {
		l := schema.Read(t.Context(), target, schema.Options{})
		if l.Err != nil || l.Spec == nil {
			t.Fatal(l.Err)
		}
		specs = append(specs, l.Spec)
	}
	slices.SortStableFunc(specs, func(a, b *schema.Spec) int { return len(a.Wires) - len(b.Wires) })
	return specs
}

// rewired is a vehicle of which some wires lead elsewhere, some are gone and some are new.
func rewired(spec *schema.Spec, c *choices) *schema.Spec {
	var terminals []string
	for id, p := range spec.Parts() {
		for _, t := range p.Terminals() {
			terminals = append(terminals, id+"."+t.Name)
		}
	}
	terminals = append(terminals, schema.Chassis)
	end := func() string { return terminals[(c.of(256)*256+c.of(256))%len(terminals)] }
	out := *spec
	out.Wires = maps.Clone(spec.Wires)
	ids := slices.Sorted(maps.Keys(spec.Wires))
	for range 1 + c.of(8) {
		id := ids[c.of(len(ids))]
		w := *spec.Wires[id]
		switch c.of(4) {
		case 0:
			delete(out.Wires, id)
			continue
		case 1:
			w.From = end()
		case 2:
			w.To = end()
		case 3:
			w.ID = fmt.Sprintf("more_%d", len(out.Wires))
			w.From, w.To = end(), end()
		}
		out.Wires[w.ID] = &w
	}
	return &out
}

// renamed is the same vehicle with other ids for its wires, so that they are in another
// order, and some of them written from their other end.
func renamed(spec *schema.Spec, c *choices) *schema.Spec {
	out := *spec
	out.Wires = map[string]*schema.Wire{}
	for id, w := range spec.Wires {
		same := *w
		same.ID = fmt.Sprintf("%02x_%s", byte(len(id))*31^id[len(id)-1]*byte(1+len(*c)), id)
		if len(*c) > 0 && ((*c)[0]^id[len(id)-1])&1 == 0 {
			same.From, same.To = w.To, w.From
		}
		out.Wires[same.ID] = &same
	}
	return &out
}

// FuzzNetwork builds vehicles that are wired at random and asks the questions that rules
// ask: no fault, edges between nodes that exist, and the same nodes, networks and
// voltages whatever the names and the order of the wires.
func FuzzNetwork(f *testing.F) {
	seeds(f)
	specs := soundSpecs(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		c := choices(text)
		spec := rewired(specs[c.of(len(specs))], &c)
		n, other := New(spec), New(renamed(spec, &c))
		if n.Nodes() != other.Nodes() || len(n.Edges) != len(other.Edges) {
			t.Fatalf("%d nodes and %d edges; with wires in another order %d and %d", n.Nodes(), len(n.Edges), other.Nodes(), len(other.Edges))
		}
		for _, e := range n.Edges {
			if e.From < 0 || int(e.From) >= n.Nodes() || e.To < 0 || int(e.To) >= n.Nodes() {
				t.Fatalf("%s leads from %d to %d of %d nodes", e.ID, e.From, e.To, n.Nodes())
			}
		}
		first := n.Terminals(0)[0]
		for v := range Node(n.Nodes()) {
			name := n.Terminals(v)[0]
			a, ok := other.Node(name)
			b, _ := other.Node(first)
			if !ok || n.SameNetwork(v, 0) != other.SameNetwork(a, b) || n.MetalJoins(v, 0) != other.MetalJoins(a, b) {
				t.Fatalf("%s belongs elsewhere with wires in another order", name)
			}
		}
		if len(n.Guards()) != len(other.Guards()) || len(n.Levels()) != len(other.Levels()) || len(n.Sources()) != len(other.Sources()) {
			t.Fatal("guards, fault levels or sources differ with wires in another order")
		}
		modes := n.Modes()
		cases := Case{Mode: modes[c.of(len(modes))], Pack: Supply(c.of(3)), Resistance: Bound(c.of(3)), Start: Start(c.of(2)), AllClosed: c.of(3) == 0}
		x, y := n.Solve(cases), other.Solve(cases)
		if x.Failed != "" || y.Failed != "" || len(x.Chatter)+len(y.Chatter)+len(x.Collapsed)+len(y.Collapsed) > 0 {
			return // which of several states it holds is not promised
		}
		for v := range Node(n.Nodes()) {
			name := n.Terminals(v)[0]
			a, ok := x.Across(name, first)
			b, also := y.Across(name, first)
			if ok != also || math.Abs(a-b) > 1e-4*(1+math.Abs(a)) {
				t.Fatalf("%+v: %s is at %v V (%v), with wires in another order at %v V (%v)", cases, name, a, ok, b, also)
			}
		}
	})
}

// resistive is a vehicle of batteries, wires, fuses, resistors and heaters between studs,
// wired at random: its equations are linear.
func resistive(c *choices) *schema.Spec {
	base := func(kind, id string) schema.Base { return schema.Base{Kind: kind, ID: id} }
	s := &schema.Spec{
		Vehicle:   schema.Vehicle{Name: "linear", Use: "off-road", Chassis: "isolated", AmbientC: schema.Span{Min: -10, Max: 40}},
		Policy:    schema.Policy{BatteryResistanceMin: 0.6, BatteryResistanceMax: 2, FuseDropMV: 100, ContactDropMV: 75, TerminalMaxC: 90},
		Batteries: map[string]*schema.Battery{}, Fuses: map[string]*schema.Fuse{}, Resistors: map[string]*schema.Resistor{},
		Loads: map[string]*schema.Load{}, Studs: map[string]*schema.Stud{}, Wires: map[string]*schema.Wire{},
		Modes: map[string]*schema.Mode{"use": {ID: "use"}},
	}
	studs := 3 + c.of(12)
	stud := func() string { return fmt.Sprintf("s%d.stud", c.of(studs)) }
	sizes := []string{"1.5 mm2", "2.5 mm2", "6 mm2", "16 mm2", "50 mm2", "12 AWG", "2/0 SAE"}
	wire := func(from, to string) {
		id := fmt.Sprintf("w%d", len(s.Wires))
		s.Wires[id] = &schema.Wire{Conductor: schema.Conductor{Base: base("wires", id), From: from, To: to},
			Size: sizes[c.of(len(sizes))], LengthM: 0.1 + 0.05*float64(c.of(200))}
	}
	between := func(id string, a, b string) { wire(id+"."+a, stud()); wire(stud(), id+"."+b) }
	for i := range studs {
		id := fmt.Sprintf("s%d", i)
		s.Studs[id] = &schema.Stud{Base: base("studs", id)}
	}
	for i := range 1 + c.of(3) {
		id, volts := fmt.Sprintf("b%d", i), float64(12+c.of(90))
		s.Batteries[id] = &schema.Battery{Base: base("batteries", id), Role: "traction", MinV: 0.8 * volts, NominalV: volts, MaxV: 1.2 * volts,
			ResistanceMOhm: schema.Range{Typ: schema.Some(1 + float64(c.of(100)))}}
		between(id, "pos", "neg")
	}
	for i := range c.of(4) {
		id := fmt.Sprintf("f%d", i)
		s.Fuses[id] = &schema.Fuse{Base: base("fuses", id), Class: "blade", RatedA: 1 + float64(c.of(200))}
		between(id, "a", "b")
	}
	for i := range c.of(6) {
		id := fmt.Sprintf("r%d", i)
		s.Resistors[id] = &schema.Resistor{Base: base("resistors", id), ResistanceOhm: 0.01 * math.Pow(10, float64(c.of(7)))}
		between(id, "a", "b")
	}
	for i := range c.of(6) {
		id := fmt.Sprintf("l%d", i)
		s.Loads[id] = &schema.Load{Base: base("loads", id), LoadKind: "resistive", PowerW: 1 + float64(c.of(250)), AtV: 12 + float64(c.of(60))}
		s.Modes["use"].On = append(s.Modes["use"].On, id)
		between(id, "pos", "neg")
	}
	for range c.of(16) {
		wire(stud(), stud())
	}
	return s
}

// dense is what a linear vehicle comes to by nodal analysis with dense elimination: the
// voltage of each terminal against the first of those that it is joined to. It shares
// nothing with the solver but the resistance of conductors and fuses.
func dense(t *testing.T, n *Network, copperC float64) (volts map[string]float64, group map[string]string) {
	s := n.Spec
	at, names := map[string]int{}, []string{}
	place := func(name string) int {
		if _, ok := at[name]; !ok {
			at[name] = len(names)
			names = append(names, name)
		}
		return at[name]
	}
	type branch struct {
		a, b int
		g, e float64 // e: volts from b to a without a current
	}
	var branches []branch
	add := func(a, b string, ohm, e float64) { branches = append(branches, branch{place(a), place(b), 1 / ohm, e}) }
	for id, w := range schema.Sorted(s.Wires) {
		add(w.From, w.To, n.ConductorResistance(id, copperC), 0)
	}
	for id, b := range schema.Sorted(s.Batteries) {
		add(id+".pos", id+".neg", b.ResistanceMOhm.Typ.Value/1000, b.NominalV)
	}
	for id, f := range schema.Sorted(s.Fuses) {
		add(id+".a", id+".b", n.FuseResistance(f), 0)
	}
	for id, r := range schema.Sorted(s.Resistors) {
		add(id+".a", id+".b", r.ResistanceOhm, 0)
	}
	for id, l := range schema.Sorted(s.Loads) {
		add(id+".pos", id+".neg", l.AtV*l.AtV/l.PowerW, 0)
	}
	root := make([]int, len(names))
	for i := range root {
		root[i] = i
	}
	var find func(int) int
	find = func(i int) int {
		if root[i] != i {
			root[i] = find(root[i])
		}
		return root[i]
	}
	for _, b := range branches {
		root[find(b.a)] = find(b.b)
	}
	g, rhs := mat.NewDense(len(names), len(names), nil), mat.NewDense(len(names), 1, nil)
	sum := func(i, j int, v float64) { g.Set(i, j, g.At(i, j)+v) }
	for i := range names {
		if find(i) == i {
			sum(i, i, 1) // the reference of its network: no current flows there
		}
	}
	for _, b := range branches {
		sum(b.a, b.a, b.g)
		sum(b.b, b.b, b.g)
		sum(b.a, b.b, -b.g)
		sum(b.b, b.a, -b.g)
		rhs.Set(b.a, 0, rhs.At(b.a, 0)+b.g*b.e)
		rhs.Set(b.b, 0, rhs.At(b.b, 0)-b.g*b.e)
	}
	var x mat.Dense
	if err := x.Solve(g, rhs); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			t.Fatal(err)
		}
	}
	volts, group = map[string]float64{}, map[string]string{}
	for i, name := range names {
		volts[name] = x.At(i, 0) - x.At(find(i), 0)
		group[name] = names[find(i)]
	}
	return volts, group
}

// denseTolerance is how far the sparse solver and dense elimination may differ, over the
// highest voltage: resistances spread over nine decades, of which both lose digits.
const denseTolerance = 1e-6

// FuzzSolve holds the solver against dense elimination, over linear vehicles wired at random.
func FuzzSolve(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		c := choices(text)
		spec := resistive(&c)
		n := New(spec)
		copperC := float64(c.of(120) - 20)
		s := n.Solve(Case{Mode: "use"}.WithCopper(copperC))
		if s.Failed != "" {
			t.Fatal(s.Failed)
		}
		highest := 0.0
		for _, b := range spec.Batteries {
			highest += b.NominalV
		}
		volts, group := dense(t, n, copperC)
		for name, v := range volts {
			got, ok := s.Across(name, group[name])
			if !ok || math.Abs(got-v) > denseTolerance*highest+1e-6 { // what is less counts as nothing
				t.Errorf("%s against %s: %.9g V (%v), by dense elimination %.9g V", name, group[name], got, ok, v)
			}
		}
	})
}
