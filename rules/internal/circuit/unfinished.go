package circuit

import (
	"slices"
	"strings"

	"example.org/headroom/schema"
)

// Unfinished is what keeps a part from passing a current on: a conductor is missing.
type Unfinished struct {
	Free []string // terminals that should be the end of a conductor and are not, such as "plug.b1"
	Lone string   // the terminal of a block on which its only conductor ends; "" if it has none or several
}

// Unfinished is what a part lacks to be connected, by the specification and not by the
// network, which leaves out a conductor whose other end is on a part with a mistake. A
// contact may stay unused, but not with one end alone; a block may have free ways.
func (n *Network) Unfinished(part string) Unfinished { return n.unfinished()[part] }

func (n *Network) findUnfinished() map[string]Unfinished {
	ends := map[string]int{}
	for _, c := range n.Spec.Conductors() {
		ends[c.From]++
		ends[c.To]++
	}
	out := map[string]Unfinished{}
	for id, part := range n.Spec.Parts() {
		if part.Common().Spare {
			continue
		}
		u := Unfinished{Free: freeTerminals(id, part, ends)}
		switch part := part.(type) {
		case *schema.Controller:
			u.Free = append(u.Free, n.freePhases(part, ends)...)
		case *schema.Block:
			u.Lone = loneWay(id, part, ends)
		}
		if u.Free != nil || u.Lone != "" {
			out[id] = u
		}
	}
	return out
}

// freeTerminals lists the terminals that a part needs and that no conductor ends on.
func freeTerminals(id string, part schema.Part, ends map[string]int) (free []string) {
	mated := mated(part, id, ends)
	for _, t := range part.Terminals() {
		name := id + "." + t.Name
		if ends[name] == 0 && (!t.Optional || t.Pair != "" && (mated || isInhibit(t.Name)) && ends[id+"."+t.Pair] > 0) {
			free = append(free, name)
		}
	}
	return free
}

// mated reports whether both halves of a connector belong to the specification: those of
// an inlet need not, whose charger is no part of the vehicle.
func mated(part schema.Part, id string, ends map[string]int) bool {
	k, ok := part.(*schema.Connector)
	return !ok || k.Use != "inlet" || slices.ContainsFunc(k.Terminals(), func(t schema.Terminal) bool {
		return strings.HasPrefix(t.Name, "a") && ends[id+"."+t.Name] > 0
	})
}

// isInhibit reports whether a terminal is of the contact that an inlet has on the side of
// the vehicle alone.
func isInhibit(terminal string) bool { return strings.HasPrefix(terminal, "inhibit_") }

// freePhases lists the phases of a controller that its motor needs and that no conductor
// ends on.
func (n *Network) freePhases(k *schema.Controller, ends map[string]int) (free []string) {
	if !k.HasPhases() {
		return nil
	}
	needed, used := 0, 0
	for id, m := range schema.Sorted(n.Spec.Motors) {
		if !m.Spare && n.DrivenBy(id) == k.ID {
			needed = max(needed, len(m.Terminals()))
		}
	}
	for _, name := range phaseTerminals {
		if ends[k.ID+"."+name] > 0 {
			used++
		} else {
			free = append(free, k.ID+"."+name)
		}
	}
	return free[:min(len(free), max(0, needed-used))]
}

// loneWay is the way of a block on which the only conductor ends that the block has.
func loneWay(id string, block *schema.Block, ends map[string]int) (lone string) {
	all := 0
	for _, t := range block.Terminals() {
		if name := id + "." + t.Name; ends[name] > 0 {
			all += ends[name]
			lone = name
		}
	}
	if all != 1 {
		return ""
	}
	return lone
}

// BrokenOffAt is the part for want of whose conductor no battery feeds an element: one
// that is unfinished where the way from a pole of a battery, or from that of the element,
// ends; "" if there is none.
func (n *Network) BrokenOffAt(e *Edge) string {
	var pos, neg []Node
	for _, s := range n.Strings() {
		pos, neg = append(pos, s.Pos()), append(neg, s.Neg())
	}
	for _, side := range []struct {
		end   Node
		poles []Node
	}{{e.From, pos}, {e.To, neg}} {
		if slices.ContainsFunc(side.poles, func(v Node) bool { return n.MetalJoins(v, side.end) }) {
			continue
		}
		near := n.Reach(AllClosed, append(side.poles, side.end)...)
		for id, u := range schema.Sorted(n.unfinished()) {
			if slices.ContainsFunc(append(u.Free, u.Lone), func(name string) bool {
				v, ok := n.Node(name)
				return ok && near[v]
			}) {
				return id
			}
		}
	}
	return ""
}

// Supplied reports whether some source drives a current to the one end of an element, and
// whether one takes it back from the other, with everything closed: over metal and
// resistors, and through diodes in the direction in which they let it pass.
func (n *Network) Supplied(e *Edge) (supply, back bool) {
	passes := func(e *Edge, enter Node) bool { return e.Kind == ResistorEdge || Forward(e, enter) }
	for _, s := range n.Sources() {
		supply = supply || n.Reaches(s.Pos, e.From, passes)
		back = back || n.Reaches(e.To, s.Neg, passes)
	}
	return supply, back
}
