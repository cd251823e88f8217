package fuse

import (
	"cmp"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// loop is one way in which a short circuit through a conductor closes.
type loop struct {
	circuit.Guard
	back  []circuit.Node // where it is connected to the other side; the nearest counts
	fuses []string       // each of which alone breaks it, the smallest rating first
}

// loops lists the ways in which a source's short circuit through a conductor
// closes. On the feeding side of the source they share their fuses. On the
// returning side each part beyond has a feed of its own, with fuses of its own;
// feeds with the same fuses make one loop. Of several returns of a loop the
// nearest closes it: the others are behind conductors that are checked
// themselves.
func (s *supply) loops(g circuit.Guard) []loop {
	if g.Side == circuit.Positive || len(g.Returns) == 0 {
		back := g.Returns
		if len(back) == 0 {
			back = []circuit.Node{g.Source.Neg}
			if g.Side == circuit.Negative {
				back[0] = g.Source.Pos
			}
		}
		return []loop{{Guard: g, back: back, fuses: g.Fuses}}
	}
	key := loopKey{g.Conductor, g.Source.ID, g.Side}
	out, ok := s.returns[key]
	if !ok {
		out = s.findLoops(g)
		s.returns[key] = out
	}
	return out
}

// loopKey is a guard by what it is.
type loopKey struct {
	conductor, source string
	side              circuit.Side
}

func (s *supply) findLoops(g circuit.Guard) []loop {
	var out []loop
	alike := map[string]int{} // by their fuses
	for _, r := range g.Returns {
		fuses := slices.Clone(g.Fuses)
		for _, id := range s.feedFuses(g.Source.ID, r) {
			if !slices.Contains(fuses, id) {
				fuses = append(fuses, id)
			}
		}
		bySize(s.Spec, fuses)
		key := strings.Join(fuses, " ")
		if i, ok := alike[key]; ok {
			out[i].back = append(out[i].back, r)
			continue
		}
		alike[key] = len(out)
		out = append(out, loop{Guard: g, back: []circuit.Node{r}, fuses: fuses})
	}
	return out
}

// feedFuses lists the fuses each of which alone cuts a node off from the
// positive pole of a source.
func (s *supply) feedFuses(source string, v circuit.Node) []string {
	key := nodeKey{source, v}
	common, ok := s.fedBy[key]
	if !ok {
		common = s.findFeedFuses(source, v)
		s.fedBy[key] = common
	}
	return common
}

type nodeKey struct {
	source string
	node   circuit.Node
}

func (s *supply) findFeedFuses(source string, v circuit.Node) []string {
	var common []string
	first := true
	for _, e := range s.Circuit.EdgesAt(v) {
		for _, g := range s.guards[e.ID] {
			if g.Source.ID != source || g.Side != circuit.Positive || g.Far != v {
				continue
			}
			if first {
				common, first = slices.Clone(g.Fuses), false
			} else {
				common = slices.DeleteFunc(common, func(id string) bool { return !slices.Contains(g.Fuses, id) })
			}
		}
	}
	return common
}

// bySize sorts fuses by their rating, then by id.
func bySize(spec *schema.Spec, ids []string) []string {
	slices.SortFunc(ids, func(a, b string) int {
		return cmp.Or(cmp.Compare(spec.Fuses[a].RatedA, spec.Fuses[b].RatedA), cmp.Compare(a, b))
	})
	return ids
}

// most is the greatest current through a fuse in a short circuit of the loop,
// at the near end of its conductor.
func (s *supply) most(l loop, fuse string) bolted {
	pole := l.Source.Neg
	if l.Side == circuit.Negative {
		pole = l.Source.Pos
	}
	return s.through(fuse, l.Near, append(slices.Clone(l.back), pole), circuit.FaultCase{Greatest: true})
}

// least is the current through a fuse in a short circuit of the loop at the far
// end of its conductor, the batteries empty and cold, the copper hot.
func (s *supply) least(l loop, fuse string) bolted {
	return s.through(fuse, l.Far, l.back, circuit.FaultCase{})
}

// bolted is a short circuit between two nodes, and its current through a fuse.
type bolted struct {
	fault    *circuit.Fault
	from, to circuit.Node
	throughA float64
}

// through is the greatest current through a fuse over shorts from one node to
// each of others.
func (s *supply) through(fuse string, from circuit.Node, to []circuit.Node, k circuit.FaultCase) bolted {
	var most bolted
	e := s.Circuit.Edge(fuse)
	for _, v := range to {
		x, ok := s.Circuit.Fault(from, v, k)
		if !ok {
			continue
		}
		if a := x.Through(e); a > most.throughA {
			most = bolted{x, from, v, a}
		}
	}
	return most
}

// current is a short circuit through a conductor as one fuse carries it.
type current struct {
	loop
	fuse    string
	mostA   float64
	leastA  float64
	most    bolted // without a fault for a limited source
	least   bolted
	limited bool // the source supplies no more than this
}

// currents lists, for each loop through a conductor that a fuse breaks, the
// short circuit as each of its fuses carries it. Where a battery feeds the
// conductor, what converters and chargers add is left out: it is little, and
// the fuse must open without it.
func (s *supply) currents(id string) [][]current {
	out, ok := s.shorts[id]
	if !ok {
		out = s.findCurrents(id)
		s.shorts[id] = out
	}
	return out
}

// residueA is a current in A that is only the rounding of none: the fuse is not in
// that short circuit.
const residueA = 1e-3

func (s *supply) findCurrents(id string) [][]current {
	var out [][]current
	for _, g := range s.feeders(id) {
		for _, l := range s.loops(g) {
			var seen []current
			for _, fuse := range l.fuses {
				x := current{loop: l, fuse: fuse}
				if g.Source.IsBattery() {
					x.most, x.least = s.most(l, fuse), s.least(l, fuse)
					x.mostA, x.leastA = x.most.throughA, x.least.throughA
				} else {
					x.mostA, x.leastA, x.limited = g.Source.LimitA, g.Source.LimitA, true
				}
				if x.mostA > residueA && x.leastA > residueA {
					seen = append(seen, x)
				}
			}
			if len(seen) > 0 {
				out = append(out, seen)
			}
		}
	}
	return out
}

// feeders lists the guards of a conductor that matter to a short circuit: the
// batteries', or where there is none those of limited sources.
func (s *supply) feeders(id string) []circuit.Guard {
	var batteries, limited []circuit.Guard
	for _, g := range s.guards[id] {
		if g.Source.IsBattery() {
			batteries = append(batteries, g)
		} else {
			limited = append(limited, g)
		}
	}
	if len(batteries) > 0 {
		return batteries
	}
	return limited
}

// knownBatteries says whether the short circuits of a conductor can be computed.
func (s *supply) knownBatteries(id string) error {
	for _, g := range s.feeders(id) {
		if !g.Source.IsBattery() {
			continue
		}
		if path, known := s.Circuit.ResistanceKnown(g.Source.Pos); !known {
			return &rules.Missing{Path: path, What: "the internal resistance of the battery"}
		}
	}
	return nil
}

// explainMost adds the greatest short circuit of a conductor to the working.
func (s *supply) explainMost(w *rules.Working, x current) error {
	if x.limited {
		w.Given("I_max", "current limit of "+x.Source.ID, x.mostA, "A", x.Source.LimitFrom)
		return nil
	}
	list := s.series(x.Source)
	if err := s.batterySteps(w, short{feed: feed{Source: x.Source}, batteries: list}, true); err != nil {
		return err
	}
	s.explainFault(w, x.most, "I_max", "greatest short-circuit current, at the near end of "+x.Conductor, "V_max", x.fuse,
		s.Spec.Vehicle.AmbientC.Min)
	return nil
}

// explainLeast adds the least short circuit of a conductor to the working.
func (s *supply) explainLeast(w *rules.Working, x current) error {
	if x.limited {
		w.Given("I_min", "current limit of "+x.Source.ID, x.leastA, "A", x.Source.LimitFrom)
		return nil
	}
	list := s.series(x.Source)
	if err := s.batterySteps(w, short{feed: feed{Source: x.Source}, batteries: list}, false); err != nil {
		return err
	}
	s.explainFault(w, x.least, "I_min", "least short-circuit current, at the far end of "+x.Conductor, "V_min", x.fuse,
		s.Spec.Policy.TerminalMaxC)
	return nil
}
