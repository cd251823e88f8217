package circuit

import "slices"

// BlockingContacts finds the contacts that must still be open for some contacts, own, to be
// the ones that put a consumer on its batteries: those of the batteries in
// parallel that would otherwise feed it past them. Whoever connects first meets
// empty capacitors; who follows meets a live bus, and no more than the difference
// of the batteries. May tells which contacts can be open then, and pass what leads
// at all; both take nil as everything. It is not ok where own do not decide, or
// something feeds the consumer whatever is open.
func (n *Network) BlockingContacts(consumer *Edge, own, may, pass func(*Edge) bool) (open []*Edge, ok bool) {
	leads := func(ownOpen bool, also ...*Edge) func(*Edge) bool {
		return func(e *Edge) bool {
			return (pass == nil || pass(e)) && !(ownOpen && own(e)) && !slices.Contains(open, e) && !slices.Contains(also, e)
		}
	}
	for {
		past, fed := n.LoopTo(consumer, leads(true))
		if !fed {
			if _, fed = n.LoopTo(consumer, leads(false)); !fed {
				return nil, false
			}
			return open, true
		}
		// What a hand switches comes first: contactors follow from it.
		slices.SortStableFunc(past.Contacts, func(a, b *Edge) int { return byHand(b) - byHand(a) })
		i := slices.IndexFunc(past.Contacts, func(e *Edge) bool {
			if may != nil && !may(e) {
				return false
			}
			_, left := n.LoopTo(consumer, leads(false, e))
			return left
		})
		if i < 0 {
			return nil, false
		}
		open = append(open, past.Contacts[i])
	}
}

func byHand(e *Edge) int {
	if e.Kind == SwitchEdge {
		return 1
	}
	return 0
}

// FedBy reports whether a string of batteries feeds a consumer in a state by what is
// made to carry its current: closed contacts, diodes forward and any resistor
// but that of a pre-charge.
func (n *Network) FedBy(state *Solution, s SeriesString, consumer *Edge) bool {
	return n.carries(state, s.Pos(), consumer.From) && n.carries(state, consumer.To, s.Neg())
}

func (n *Network) carries(state *Solution, from, to Node) bool {
	_, ok := n.way(from, to, func(e *Edge, enter Node) (float64, bool) {
		switch e.Kind {
		case SwitchEdge, ContactEdge:
			return 1, state.Closed(e.ID)
		case DiodeEdge:
			return 1, enter == e.From
		case ResistorEdge:
			r, ok := n.Spec.Resistors[e.Part]
			return 1, ok && r.Role != "precharge"
		}
		return 1, e.Conducts()
	})
	return ok
}
