package converter

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// sharing is how converters whose outputs are joined divide what they supply: the one
// that is set highest takes all until its limit acts, and only then the next one comes
// in. Ratings have no part in it, unless the converters balance their currents.
type sharing struct {
	beside []string // the others
	how    shareHow
	rated  float64      // share by continuous rating
	points []sharePoint // by rising total, from the solved circuit
	slope  float64      // of its own current beyond the last point
	limitA float64      // of its own; infinite where it does not hold a constant current
	state  circuit.Case
}

// shareHow is what decides how a current divides.
type shareHow int

const (
	bySetVoltage shareHow = iota // as the solved circuit has it
	byRating                     // they balance their currents, or all are at their limits
	notAtAll                     // one of them does not hold its current at its limit: this one has all
)

// sharePoint is what a converter gives of a total, both in A.
type sharePoint struct{ totalA, ownA float64 }

// own is the part of a total current, in A, that falls to the converter.
func (s *sharing) own(total float64) float64 {
	switch {
	case s == nil || s.how == notAtAll:
		return total
	case s.how == byRating:
		return s.rated * total
	}
	var before sharePoint
	for _, at := range s.points {
		if total <= at.totalA {
			return before.ownA + (at.ownA-before.ownA)*(total-before.totalA)/max(at.totalA-before.totalA, 1e-9)
		}
		before = at
	}
	return min(before.ownA+s.slope*(total-before.totalA), s.limitA)
}

// atLimit reports whether a converter that gives a current rests in its own limit,
// as it does for ever where it is set higher than the one beside it.
func (s *sharing) atLimit(a float64) bool {
	return s != nil && s.how == bySetVoltage && a >= s.limitA*(1-1e-6)
}

// holdsCurrent reports whether a converter goes on with a constant current at its
// limit, so that another one can supply the rest.
func holdsCurrent(v *schema.Converter) bool { return v.Output.AtLimit == "constant-current" }

// shareWith finds the other converters that feed the same consumers, and how they
// share.
func (b *budget) shareWith(p *rules.Pass, idle *circuit.Solution) {
	group := []*schema.Converter{b.converter}
	for id, v := range schema.Sorted(p.Spec.Converters) {
		if id == b.converter.ID || !runs(idle, id) {
			continue
		}
		other := newRail(p.Circuit, idle, id)
		if slices.ContainsFunc(b.consumers, func(k consumer) bool { return other.feeds(p.Circuit.Edge(k.id)) }) {
			group = append(group, v)
		}
	}
	if len(group) == 1 {
		return
	}
	b.sharing = &sharing{}
	var ratings float64
	balance, hold := true, true
	first := b.converter // the one that takes the load first
	for _, v := range group {
		ratings += v.Output.ContinuousA
		balance = balance && v.Output.CurrentShare
		hold = hold && holdsCurrent(v)
		if v != b.converter {
			b.sharing.beside = append(b.sharing.beside, v.ID)
		}
		if ahead(v, first) {
			first = v
		}
	}
	b.sharing.rated = b.converter.Output.ContinuousA / ratings
	switch {
	case balance:
		b.sharing.how = byRating
	case !hold && first == b.converter:
		b.sharing.how = notAtAll
	default:
		b.sharing.solve(p, b, group)
	}
}

// ahead reports whether a converter takes the load before another one.
func ahead(v, w *schema.Converter) bool {
	if v.Output.NominalV != w.Output.NominalV {
		return v.Output.NominalV > w.Output.NominalV
	}
	if v.Output.ContinuousA != w.Output.ContinuousA {
		return v.Output.ContinuousA > w.Output.ContinuousA
	}
	return v.ID < w.ID
}

// solve reads from the circuit what the converter gives with everything on, and with
// what is on without a break.
func (s *sharing) solve(p *rules.Pass, b *budget, group []*schema.Converter) {
	own := b.converter
	s.limitA = math.Inf(1)
	if holdsCurrent(own) {
		s.limitA, _ = p.Circuit.ConverterLimitA(own.ID)
	}
	var lasting, full float64
	var brief []string
	for i := range b.consumers {
		k := &b.consumers[i]
		full += k.fullA
		if _, short := k.longestS(); p.Spec.Loads[k.id] != nil && (short || k.share < 1) {
			brief = append(brief, k.id)
			continue
		}
		lasting += k.fullA
	}
	s.state = demand.Nominal(b.mode)
	all := p.Circuit.Solve(s.state)
	limiting := 0
	for _, v := range group {
		if slices.Contains(all.Limiting, v.ID) {
			limiting++
		}
	}
	if !all.Settled(own.ID+".out") || limiting == len(group) {
		s.how = byRating // together they are too small, whoever is ahead
		return
	}
	if steady := p.Circuit.Solve(s.state.Off(brief...)); len(brief) > 0 && steady.Settled(own.ID+".out") {
		s.points = append(s.points, sharePoint{lasting, givenA(steady, own.ID)})
	}
	s.points = append(s.points, sharePoint{full, givenA(all, own.ID)})
	switch {
	case slices.Contains(all.Limiting, own.ID):
		s.slope = 0
	case limiting > 0:
		s.slope = 1 // the others have no more to give
	default:
		s.slope = givenA(all, own.ID) / max(full, 1e-9)
	}
}

// givenA is what a converter gives in a solution, in A.
func givenA(s *circuit.Solution, id string) float64 { return max(0, -s.Current(id+".out")) }

// show adds what falls to the converter of a total in A to a working, and returns it.
func (s *sharing) show(c *rules.Check, b *budget, total float64, what string) float64 {
	own := s.own(total)
	id, others := b.converter.ID, rules.And(s.beside)
	switch s.how {
	case byRating:
		c.Calc("s", "share of "+id+" beside "+others, "by continuous rating", "", s.rated, "")
		return c.Calc("I", "current of "+id+" "+what, "s I_sum", rules.Term(s.rated)+" * "+rules.Term(total), own, "A")
	case notAtAll:
		return c.Calc("I", "current of "+id+" "+what+": not each of "+id+" and "+others+" holds a constant current at its limit, so the rest is not taken over",
			"I_sum", rules.Term(total), own, "A")
	}
	return c.Solved("I", "current of "+id+" "+what+", beside "+others+", by their set voltages", own, "A", inMode(s.state))
}
