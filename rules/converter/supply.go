package converter

import (
	"cmp"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// consumerV is the voltage across a consumer in the corner that is worst for it.
type consumerV struct {
	v     float64
	state circuit.Case
	alone bool // only with the converter off
	// best is the most of what the modes give it with a nominal pack, converter running.
	best float64
	// unfed is a mode that turns it on without any supply.
	unfed string
	// limiting is a converter at its current limit in that state.
	limiting string
	// failed is a mode that has no solution.
	failed error
	ok     bool // some mode supplies it
}

func (w *consumerV) lower(s *circuit.Solution, v float64, alone bool) {
	if w.ok && v >= w.v {
		return
	}
	w.v, w.state, w.alone, w.ok = v, s.Case, alone, true
	w.limiting = ""
	if len(s.Limiting) > 0 {
		w.limiting = s.Limiting[0]
	}
}

func (w *consumerV) higher(s *circuit.Solution, v float64) {
	if !w.ok || v > w.v {
		w.v, w.state, w.ok = v, s.Case, true
	}
}

// modesOf lists the modes that turn a load on.
func modesOf(p *rules.Pass, load string) []string {
	var out []string
	for _, id := range p.Circuit.States() {
		if slices.Contains(p.Circuit.Mode(id).On, load) {
			out = append(out, id)
		}
	}
	return out
}

// lowestAt finds the lowest voltage across a consumer over modes: at a nominal and at
// an empty pack, and with the auxiliary battery alone and flat.
func lowestAt(p *rules.Pass, id string, modes []string) consumerV {
	var w consumerV
	pos, neg := id+".pos", id+".neg"
	for _, mode := range modes {
		nominal, empty, alone := demand.LowVoltage(p, mode)
		a, b, c := p.Circuit.Solve(nominal), p.Circuit.Solve(empty), p.Circuit.Solve(alone)
		if err := cmp.Or(settled(a, id, supplyOf(id)), settled(b, id, supplyOf(id)), settled(c, id, supplyOf(id))); err != nil {
			w.failed = cmp.Or(w.failed, err)
			continue
		}
		va := across(a, pos, neg)
		if va < fedV {
			if w.unfed == "" && !shorted(p.Circuit, a, pos, neg) {
				w.unfed = mode
			}
			continue
		}
		w.lower(a, va, false)
		w.best = max(w.best, va)
		// A converter that an empty pack stops has a finding of its own.
		if vb := across(b, pos, neg); slices.Equal(a.ConvertersOn, b.ConvertersOn) {
			w.lower(b, vb, false)
		}
		// What the battery does not feed is dark with the converter off; that is
		// a matter of single failures. Without a converter the battery is always alone,
		// and goes flat in use.
		if vc := across(c, pos, neg); vc > fedV {
			w.lower(c, vc, len(a.ConvertersOn) > 0)
		}
	}
	return w
}

// highestAt finds the highest voltage across a consumer over modes: pack full,
// charging and regeneration included, and the auxiliary battery alone and full.
func highestAt(p *rules.Pass, id string, modes []string) consumerV {
	var w consumerV
	for _, mode := range modes {
		for _, k := range demand.HighVoltage(p, mode) {
			s := p.Circuit.Solve(k)
			if err := settled(s, id, supplyOf(id)); err != nil {
				w.failed = cmp.Or(w.failed, err)
				continue
			}
			if v := across(s, id+".pos", id+".neg"); v > fedV {
				w.higher(s, v)
			}
		}
	}
	return w
}

// supplyOf is the edge of the supply of an instrument; a load is one edge.
func supplyOf(id string) string { return id + ".supply" }

// across is the voltage across a consumer, of either polarity: a reversed one
// has a finding of its own.
func across(s *circuit.Solution, pos, neg string) float64 {
	v, _ := s.Across(pos, neg)
	return max(v, -v)
}

// shorted reports whether closed metal connects the two terminals of a consumer,
// as with a pilot lamp across a switch: it is dark on purpose.
func shorted(n *circuit.Network, s *circuit.Solution, pos, neg string) bool {
	a, _ := n.Node(pos)
	b, _ := n.Node(neg)
	return n.Reaches(a, b, s.ClosedMetal)
}

// supplied yields the loads and instruments that are wired: id, part, lowest
// and highest voltage that they withstand, and the modes in which they count.
func supplied(p *rules.Pass) []device {
	var out []device
	for id, l := range schema.Sorted(p.Spec.Loads) {
		if !l.Spare && p.Circuit.Connected(id+".pos") && p.Circuit.Connected(id+".neg") {
			out = append(out, device{id: id, path: l.Path(), load: l, minV: l.MinV, maxV: l.MaxV, modes: modesOf(p, id)})
		}
	}
	for id, m := range schema.Sorted(p.Spec.Meters) {
		if !m.Spare && p.Circuit.Connected(id+".pos") && p.Circuit.Connected(id+".neg") {
			out = append(out, device{id: id, path: m.Path(), minV: m.MinV, maxV: m.MaxV, modes: p.Circuit.States()})
		}
	}
	return out
}

// device is a load or an instrument with its supply terminals pos and neg.
type device struct {
	id, path   string
	load       *schema.Load // nil for an instrument
	minV, maxV schema.Number
	modes      []string
}

// because names the overloaded converter that pulls a consumer's voltage down
// in a mode, if one does.
func because(c *rules.Check, p *rules.Pass, converter, mode, load string) {
	v := p.Spec.Converters[converter]
	if v == nil {
		return
	}
	all, err := budgets(p, v)
	i := slices.IndexFunc(all, func(b budget) bool { return b.mode == mode })
	if err != nil || i < 0 || !slices.ContainsFunc(all[i].consumers, func(k consumer) bool { return k.id == load }) {
		return
	}
	switch b := all[i]; {
	case isOverloaded(p, v, all):
		c.Because(overloadedID, converter)
	case len(b.aux) == 0 && b.fullA() > placeOf(p, v, mode).peakA(v):
		c.Because(peakOverloadedID, converter)
	}
}
