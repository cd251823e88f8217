package circuit

import (
	"slices"
	"strconv"

	"example.org/headroom/schema"
)

// connector adds the contacts of a connector, and that of an inlet which opens when it
// is mated.
func (b *builder) connector(k *schema.Connector) {
	for i := range k.Contacts {
		n := strconv.Itoa(i + 1)
		b.edge(k.ID+"."+n, PlugEdge, k.ID, k.ID+".a"+n, k.ID+".b"+n)
	}
	if k.Inhibit {
		b.edge(k.ID+".inhibit", PlugEdge, k.ID, k.ID+".inhibit_a", k.ID+".inhibit_b")
	}
}

// plugResistance is the resistance of a mated contact in Ohm, and whether it is the
// policy's default.
func (n *Network) plugResistance(k *schema.Connector, e *Edge) (ohm float64, assumed bool) {
	if k.ResistanceUOhm.Known {
		return k.ResistanceUOhm.Value / 1e6, false
	}
	contact, _ := k.ContactOf(e.ID[len(e.Part)+1:])
	return n.contactResistance(schema.Number{}, contact.CarryA)
}

// PlugContacts lists the contacts of a connector, without the one that opens when it is
// mated.
func (n *Network) PlugContacts(id string) (out []*Edge) {
	for _, e := range n.byPart[id] {
		if e.Kind == PlugEdge && e.ID != id+".inhibit" {
			out = append(out, e)
		}
	}
	return out
}

// parted lists what is open of connectors in a mode: the contacts of those that it
// parts, and of a mated inlet the one that opens with the plug in.
func (n *Network) parted(m *schema.Mode) (out []*Edge) {
	for id, k := range schema.Sorted(n.Spec.Connectors) {
		switch {
		case slices.Contains(m.Unmated, id):
			out = append(out, n.PlugContacts(id)...)
		case k.Inhibit && n.pluggedIn(id, m):
			out = append(out, n.byID[id+".inhibit"])
		}
	}
	return out
}

// pluggedIn reports whether a mode connects a charger that hangs on the cable of an
// inlet.
func (n *Network) pluggedIn(inlet string, m *schema.Mode) bool {
	contacts := n.PlugContacts(inlet)
	cable := make([]Node, len(contacts))
	for i, e := range contacts {
		cable[i] = e.From
	}
	behind := n.Reach(Without(AllClosed, contacts...), cable...)
	return slices.ContainsFunc(m.Connected, func(id string) bool {
		charger := n.byID[id]
		return charger != nil && (behind.Has(charger.From) || behind.Has(charger.To))
	})
}

func edgeIDs(edges []*Edge) []string {
	ids := make([]string, len(edges))
	for i, e := range edges {
		ids[i] = e.ID
	}
	return ids
}

// Piloted is a contactor or relay whose coil some contacts cut off.
type Piloted struct {
	ID       string
	InReturn bool // they are in the return of the coil, not in its feed
}

// PilotedBy lists the contactors and relays whose coils lose a pole of every source when
// some contacts open, all else closed.
func (n *Network) PilotedBy(contacts []*Edge) (out []Piloted) {
	left := Without(AllClosed, contacts...)
	for _, e := range n.Edges {
		if e.Kind != CoilEdge || len(contacts) == 0 {
			continue
		}
		feed, back := n.losesPole(e.From, left), n.losesPole(e.To, left)
		if feed || back {
			out = append(out, Piloted{ID: e.Part, InReturn: !feed})
		}
	}
	return out
}

// losesPole reports whether metal joins a node to a pole of a source, but not what is
// left of it.
func (n *Network) losesPole(v Node, left Passes) bool {
	joined := func(reached Nodes) bool {
		return slices.ContainsFunc(n.Sources(), func(s Source) bool { return reached.Has(s.Pos) || reached.Has(s.Neg) })
	}
	return joined(n.Reach(AllClosed, v)) && !joined(n.Reach(left, v))
}

// OnChargePort lists the consumers that hang on the charge port of a battery, past its
// main terminal.
func (n *Network) OnChargePort(battery string) (out []*Edge) {
	port := n.byID[battery+".charge"]
	if port == nil {
		return nil
	}
	at := n.Reach(Without(AllClosed, port), port.From)
	for _, e := range n.Edges {
		switch e.Kind {
		case LoadEdge, ControllerEdge, ConverterInput, CoilEdge:
			if at.Has(e.From) || at.Has(e.To) {
				out = append(out, e)
			}
		}
	}
	return out
}

// Unswitched passes metal that no coil has to close.
func Unswitched(e *Edge, _ Node) bool { return e.Conducts() && e.Kind != ContactEdge }

// InletOf is the inlet on whose cable a charger hangs, "" without one.
func (n *Network) InletOf(charger string) string {
	for id, k := range schema.Sorted(n.Spec.Connectors) {
		if k.Use == "inlet" && !k.Spare && n.pluggedIn(id, &schema.Mode{Connected: []string{charger}}) {
			return id
		}
	}
	return ""
}
