package capacity

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// Beside finds the contacts that must still be open for some contacts, own, to be
// the ones that put a consumer on its batteries: those of the batteries in
// parallel that would otherwise feed it past them. Whoever connects first meets
// empty capacitors; who follows meets a live bus, and no more than the difference
// of the batteries. May tells which contacts can be open then, and pass what leads
// at all; both take nil as everything. It is not ok where own do not decide, or
// something feeds the consumer whatever is open.
func Beside(p *rules.Pass, consumer *circuit.Edge, own, may, pass func(*circuit.Edge) bool) (open []*circuit.Edge, ok bool) {
	leads := func(ownOpen bool, also ...*circuit.Edge) func(*circuit.Edge) bool {
		return func(e *circuit.Edge) bool {
			return (pass == nil || pass(e)) && !(ownOpen && own(e)) && !slices.Contains(open, e) && !slices.Contains(also, e)
		}
	}
	for {
		past, fed := LoopTo(p, consumer, leads(true))
		if !fed {
			if _, fed = LoopTo(p, consumer, leads(false)); !fed {
				return nil, false
			}
			return open, true
		}
		// What a hand switches comes first: contactors follow from it.
		slices.SortStableFunc(past.Contacts, func(a, b *circuit.Edge) int { return byHand(b) - byHand(a) })
		i := slices.IndexFunc(past.Contacts, func(e *circuit.Edge) bool {
			if may != nil && !may(e) {
				return false
			}
			_, left := LoopTo(p, consumer, leads(false, e))
			return left
		})
		if i < 0 {
			return nil, false
		}
		open = append(open, past.Contacts[i])
	}
}

func byHand(e *circuit.Edge) int {
	if e.Kind == circuit.SwitchEdge {
		return 1
	}
	return 0
}
