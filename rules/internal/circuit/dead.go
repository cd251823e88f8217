package circuit

import "slices"

// maxDead is how many nodes Dead goes through: what hangs on the rest at one node is
// small, or not worth the search.
const maxDead = 256

// Dead reports whether an element surely has no voltage in a case, whatever the contacts
// do and however the rest of the circuit comes out: what it belongs to hangs on the rest
// at no more than one node, and no source is in it. False says nothing.
func (n *Network) Dead(element string, c Case) bool {
	e := n.byID[element]
	if e == nil {
		return false
	}
	d := deadPart{Network: n, c: c, orders: n.ordersOf(c.Mode, c.NoLoads),
		open: splitIDs(c.Open), closed: splitIDs(c.Closed), seen: map[Node]bool{}}
	d.meet(e.From)
	d.meet(e.To)
	for range maxDead {
		if len(d.edge) <= 1 {
			return true
		}
		if !d.grow() {
			return false
		}
	}
	return false
}

// deadPart is a part of the network that grows around an element.
type deadPart struct {
	*Network
	c            Case
	orders       []order // see ordersOf
	open, closed []string
	seen         map[Node]bool
	edge         []Node // what was met and not gone on from: where the part hangs on the rest
}

func (d *deadPart) meet(v Node) {
	if !d.seen[v] {
		d.seen[v] = true
		d.edge = append(d.edge, v)
	}
}

// grow takes in the node at the edge of the part on which least hangs, so that rails and
// studs come last. It reports false when a source is there.
func (d *deadPart) grow() bool {
	least := len(d.edge) - 1
	for i, v := range d.edge {
		if len(d.at[v]) < len(d.at[d.edge[least]]) {
			least = i
		}
	}
	v := d.edge[least]
	d.edge = slices.Delete(d.edge, least, least+1)
	for _, e := range d.at[v] {
		if d.isOpen(e) {
			continue
		}
		if d.mayGive(e) {
			return false
		}
		d.meet(e.Other(v))
	}
	return true
}

// isOpen reports whether an edge lets nothing through in the case, in any state of the contacts.
func (d *deadPart) isOpen(e *Edge) bool {
	switch e.Kind {
	case FuseEdge, ContactEdge:
		return slices.Contains(d.open, e.ID)
	case PlugEdge:
		parted := d.orders[d.plan().place(d.Network, e)] == keptOpen && !slices.Contains(d.closed, e.ID)
		return parted || slices.Contains(d.open, e.ID)
	case SwitchEdge:
		closed := d.c.AllClosed || d.orders[d.plan().place(d.Network, e)] == asked || slices.Contains(d.closed, e.ID)
		return !closed || slices.Contains(d.open, e.ID)
	case ControllerEdge:
		return d.c.NoDraw
	case ChargerEdge:
		return d.c.NoChargers
	}
	return false
}

// mayGive reports whether an edge may be a source. A controller may feed back.
func (d *deadPart) mayGive(e *Edge) bool {
	switch e.Kind {
	case BatteryEdge, ConverterOutput, ControllerEdge, ChargerEdge:
		return true
	}
	return false
}
