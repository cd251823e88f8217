package circuit

import "slices"

// free is the solution of a case without what it holds: contactors that wait, and
// contacts that are forced closed. It is the same for all coils of which one is held in
// turn, so that what they have in common is solved once; nil where that is not worth it.
func (n *Network) free(c Case) *Solution {
	if c.Waiting == "" && c.Closed == "" || len(n.plan().coils) < 2 {
		return nil
	}
	c.Waiting, c.Closed = "", ""
	c = n.canonical(c)
	return n.solved.get(c, func() *Solution { return n.solve(c, nil) })
}

// follow goes through the states of a solution of the case without what it holds, as
// long as those are its own states too: until one moves that is held, to the last digit.
// It returns the states that it has gone through, and stands in the next; or says that
// the case holds nothing that moved, and the solution is its own.
func (s *solver) follow(free *Solution) (history []string, same bool) {
	if free == nil || free.Chatter != nil || free.Failed != "" {
		return nil, false
	}
	for k, state := range free.states {
		if s.forcesOther() {
			return history, false
		}
		if k+1 == len(free.states) {
			return nil, true
		}
		next := free.states[k+1]
		moved, held := false, false
		for i := range s.operated {
			switch {
			case state[i] == next[i]:
			case s.waiting[i]:
				held = true
			default:
				s.operated[i], moved = !s.operated[i], true
			}
		}
		for i := range s.running {
			if at := len(s.operated) + i; state[at] != next[at] {
				s.running[i], moved = !s.running[i], true
			}
		}
		if !moved {
			return history, false // it rests where the other goes on
		}
		history = append(history, state)
		if held {
			return history, false
		}
	}
	return history, false
}

// forcesOther reports whether the case forces an element closed that would be open in
// the present state. Of what is no contact that is not looked into.
func (s *solver) forcesOther() bool {
	return slices.ContainsFunc(splitIDs(s.c.Closed), func(id string) bool {
		e := s.byID[id]
		if e == nil || s.orders[s.place(e)] != keptClosed {
			return false
		}
		return e.Kind != ContactEdge || !s.isDriven(&s.elements[s.place(e)])
	})
}
