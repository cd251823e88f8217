package fuse

import (
	"fmt"
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// larger is the fix for a fuse that is too small in use: the least rating of its
// class, from a current in A on, that withstands it, with all that must grow with
// it. Where its sources would not open that one, or its class has none, it says
// what does instead.
func (s *supply) larger(f *schema.Fuse, leastA float64) string {
	if math.IsInf(leastA, 1) {
		return "" // no fuse carries anything in such air
	}
	g, doubtful, ok := s.firstThatRides(f, calc.FuseClass(f.Class), leastA)
	if !ok {
		return s.beyondClass(f, leastA)
	}
	if most := s.openedA(f); g.RatedA > most {
		return s.notOpened(f, g.RatedA, most)
	}
	text := fmt.Sprintf("use a fuse of %s A for %s", rules.Figure(g.RatedA), f.ID)
	if grow := s.growsWith(g); len(grow) > 0 {
		text += ", and with it " + rules.And(grow)
	} else {
		text += ", which suits the conductors and contacts behind it"
	}
	if doubtful != "" {
		text += fmt.Sprintf(" (declare %s: that peak may need more)", doubtful)
	}
	return text + s.orDivide(f, g.RatedA)
}

// firstThatRides is the fuse of the least standard rating of a class, from a
// current in A on, that withstands what another carries in use.
func (s *supply) firstThatRides(f *schema.Fuse, class calc.FuseClass, leastA float64) (g *schema.Fuse, doubtful string, ok bool) {
	for _, a := range calc.StandardRatings(class) {
		if a < leastA*(1-1e-9) {
			continue
		}
		g = rerated(f, a)
		if string(class) != f.Class {
			g = ofClass(f, class, a)
		}
		if ok, doubtful = s.rides(g); ok {
			return g, doubtful, true
		}
	}
	return nil, "", false
}

// beyondClass is the fix where no rating of a fuse's class withstands what it
// carries in use: one of a class that goes on.
func (s *supply) beyondClass(f *schema.Fuse, leastA float64) string {
	class := calc.FuseClass(f.Class)
	ratings := calc.StandardRatings(class)
	none := fmt.Sprintf("no %s fuse carries that (they end at %s A)", f.Class, rules.Figure(ratings[len(ratings)-1]))
	for _, next := range map[calc.FuseClass][]calc.FuseClass{
		calc.ClassBlade:       {calc.ClassHighCurrent, calc.ClassBoltDown},
		calc.ClassHighCurrent: {calc.ClassBoltDown},
		calc.ClassGlass:       {calc.ClassUL},
		calc.ClassRewirable:   {calc.ClassGG},
	}[class] {
		g, _, ok := s.firstThatRides(f, next, leastA)
		if !ok || g.RatedA > s.openedA(f) {
			continue
		}
		text := fmt.Sprintf("%s: use a %s fuse of %s A for %s%s", none, next, rules.Figure(g.RatedA), f.ID, s.forCircuit(f))
		if grow := s.growsWith(g); len(grow) > 0 {
			text += ", and with it " + rules.And(grow)
		}
		return text + s.orDivide(f, g.RatedA)
	}
	return fmt.Sprintf("%s: %s needs one of at least %s A; divide its loads over several fuses, each with conductors of its own", none, f.ID, rules.Figure(rules.RoundUp(leastA, 1)))
}

// forCircuit says what DC voltage and breaking capacity a fuse in the place of
// another needs.
func (s *supply) forCircuit(f *schema.Fuse) string {
	feeds := s.feeds(f.ID)
	v, _ := demand.HighestVoltage(s.Pass, s.Subject(f.ID, "").Working, sources(feeds))
	x, ok := s.greatestShort(f.ID, feeds, true)
	if !ok || v == 0 {
		return ""
	}
	return fmt.Sprintf(" (rated at least %s V DC, breaking capacity at least %s A)", rules.Figure(rules.RoundUp(v, 1)), rules.Figure(rules.RoundUp(x.amperes(), breakingStepA)))
}

// notOpened is the fix for a fuse that would have to be larger than its sources
// open: converters and chargers supply no more than their limit.
func (s *supply) notOpened(f *schema.Fuse, ratedA, most float64) string {
	var names []string
	var sum float64
	for _, x := range sources(s.feeds(f.ID)) {
		names, sum = append(names, x.ID), sum+x.LimitA
	}
	return fmt.Sprintf("%s would have to be %s A, and the %s A that %s can supply do not reliably open more than %s A: %s",
		f.ID, rules.Figure(ratedA), rules.Figure(sum), rules.And(names), rules.Figure(rules.RoundDown(most, 0.1)), s.opened(f, ratedA, most))
}

// opened says what makes the sources of a fuse open it, at a rating in A that is
// more than the most that they do.
func (s *supply) opened(f *schema.Fuse, ratedA, most float64) string {
	var sum float64
	for _, x := range sources(s.feeds(f.ID)) {
		sum += x.LimitA
	}
	text := fmt.Sprintf("use a converter with a current limit of at least %s A, or add an auxiliary battery", rules.Figure(rules.RoundUp(sum*ratedA/most, 1)))
	each, ok := calc.NextRatingDown(calc.FuseClass(f.Class), most)
	if consumers, greatest := s.consumers(f); ok && len(consumers) > 1 && greatest <= continuousLimit(rerated(f, each), s.airAt(f)) {
		return fmt.Sprintf("divide its loads over fuses of at most %s A each, or ", rules.Figure(each)) + text
	}
	return text
}

// orDivide proposes as many fuses of the present rating as make up the one in A that
// is needed, where there are as many consumers and each by itself suits one.
func (s *supply) orDivide(f *schema.Fuse, neededA float64) string {
	consumers, greatest := s.consumers(f)
	n := int(math.Ceil(neededA / f.RatedA * (1 - 1e-9)))
	if n < 2 || len(consumers) < n || greatest > continuousLimit(f, s.airAt(f)) {
		return ""
	}
	return fmt.Sprintf("; or divide its loads over at least %d fuses of %s A", n, rules.Figure(f.RatedA))
}

// consumers lists the loads, controllers and converters for which no other fuse
// is nearer than this one, and the most that one of them draws continuously.
func (s *supply) consumers(f *schema.Fuse) (ids []string, greatestA float64) {
	for id, part := range s.Spec.Parts() {
		terminal, edge := id+".pos", id
		switch part.(type) {
		case *schema.Load, *schema.Controller:
		case *schema.Converter:
			terminal, edge = id+".in_pos", id+".in"
		default:
			continue
		}
		if e := s.Circuit.Edge(edge); e != nil && s.nearest(f.ID, terminal) {
			ids = append(ids, id)
			greatestA = max(greatestA, s.draws(nil, e))
		}
	}
	return ids, greatestA
}

// growsWith lists what has to grow with a fuse in the place of the one with its
// id: conductors that it would not protect, contacts that it would let too much
// through, its holder, the fuse upstream. Else the next rule would take the fix back.
func (s *supply) growsWith(g *schema.Fuse) []string {
	key := trialKey{g.ID, g.Class, g.RatedA} // several rules may propose the same
	grow, ok := s.grown[key]
	if !ok {
		grow = s.findGrowth(g)
		s.grown[key] = grow
	}
	return slices.Clone(grow)
}

type trialKey struct {
	fuse, class string
	ratedA      float64
}

func (s *supply) findGrowth(g *schema.Fuse) []string {
	t := s.trial(g)
	out := slices.Concat(s.growingConductors(t, g), t.growingContacts(g))
	if h := g.Holder; h != nil && h.RatedA.Known && h.RatedA.Value < g.RatedA {
		out = append(out, fmt.Sprintf("a holder rated %s A", rules.Figure(g.RatedA)))
	}
	if before := s.before(g.ID); before != "" {
		ahead := s.fuseOf(before)
		if factor, _ := gradingFactor(g.Class, ahead.Class); s.selective(s.fuseOf(g.ID), ahead) && !t.selective(g, ahead) && factor > 0 {
			out = append(out, s.growsUpstream(ahead, factor*g.RatedA)...)
		}
	}
	return out
}

// growsUpstream is the fuse upstream at a rating in A that stays selective, with what
// that one in its turn would not protect.
func (s *supply) growsUpstream(ahead *schema.Fuse, leastA float64) []string {
	out := []string{fmt.Sprintf("%s upstream at least %s A to stay selective", ahead.ID, rules.Figure(rules.RoundUp(leastA, 1)))}
	if up, ok := calc.NextRatingUp(calc.FuseClass(ahead.Class), leastA); ok {
		out = append(out, s.growsWith(rerated(ahead, up))...)
	}
	return out
}

// selective reports whether a fuse opens before the one upstream, or nothing tells.
func (s *supply) selective(f, before *schema.Fuse) bool {
	w, proven, compared := s.grading(f, before)
	if compared && (w.headroom >= 1 || proven) {
		return w.headroom >= 1
	}
	factor, _ := gradingFactor(f.Class, before.Class)
	return before.RatedA >= factor*f.RatedA*(1-1e-9)
}

// mostTried is how many conductors behind a fuse are tried for a fix. Each trial asks
// for short circuits of its own: all of a network of thousands take minutes.
const mostTried = 200

// growingConductors lists the conductors that a fuse under trial does not protect,
// with the sizes that it does: those behind it, and those of which it ends the run.
// Of very many it says how many were not tried.
func (s *supply) growingConductors(t *supply, g *schema.Fuse) []string {
	var sizes, out []string
	bySize := map[string][]string{}
	tried := 0
	for id := range s.Spec.Conductors() {
		if t.sense[id] || !t.behind[g.ID][id] && s.coordination(id).main(s) != g.ID {
			continue
		}
		rated := t.coordination(id).rated
		if rated == nil {
			continue
		}
		if tried++; tried > mostTried {
			continue
		}
		if !t.protects(rated) && (s.protects(rated) || t.coordination(id).main(t) == g.ID) {
			size := t.bigger(rated)
			if bySize[size] == nil {
				sizes = append(sizes, size)
			}
			bySize[size] = append(bySize[size], id)
			continue
		}
		if x, ok := t.clears(rated); !ok && x.fuse == g.ID {
			if _, before := s.clears(rated); before {
				out = append(out, fmt.Sprintf("%s so short or thick that a short circuit at its far end reaches %s A (now %s A)", id, rules.Figure(x.needA), rules.Figure(roundDown(x.leastA))))
			}
		}
	}
	for i, size := range sizes {
		sizes[i] = size + " for " + rules.And(few(bySize[size]))
	}
	sizes = append(sizes, few(out)...)
	if more := tried - mostTried; more > 0 {
		sizes = append(sizes, fmt.Sprintf("whatever the %d other conductors behind it need", more))
	}
	return sizes
}

// few shortens a long list for a sentence.
func few(names []string) []string {
	if most := 4; len(names) > most {
		return append(names[:most-1:most-1], fmt.Sprintf("%d more", len(names)-most+1))
	}
	return names
}

// bigger is the thinnest size with which a conductor is protected, or for a bar the
// width, or what ampacity it takes.
func (s *supply) bigger(rated *capacity.Conductor) string {
	if size, ok := s.size(rated, 0); ok {
		return "at least " + size
	}
	need := s.coordination(rated.ID).totalA
	if width, ok := rated.WiderFor(need); ok && need > rated.IzA {
		return fmt.Sprintf("at least %s mm of width", rules.Figure(width))
	}
	return "a larger section"
}

// growingContacts lists the contacts behind a fuse under trial that it would let
// more through than they carry.
func (s *supply) growingContacts(g *schema.Fuse) []string {
	var out []string
	var bounds *circuit.Bounds
	behind := func(e *circuit.Edge) bool {
		at := func(v circuit.Node) bool {
			return slices.ContainsFunc(s.Circuit.EdgesAt(v), func(x *circuit.Edge) bool { return s.behind[g.ID][x.ID] })
		}
		return at(e.From) || at(e.To)
	}
	for _, x := range contacts(s.Pass) {
		if !x.carry.Known || !slices.ContainsFunc(x.edges, behind) {
			continue
		}
		if bounds == nil {
			bounds = s.Circuit.Bounds(s.passes)
		}
		var most circuit.Most
		for _, e := range x.edges {
			if m := bounds.Through(e); m.A > most.A {
				most = m
			}
		}
		limits := slices.ContainsFunc(most.By, func(e *circuit.Edge) bool { return e.Part == g.ID })
		if limits && !most.Beside && !math.IsInf(most.A, 1) && most.A > noOverload*x.carry.Value*(1+1e-9) {
			out = append(out, fmt.Sprintf("contacts rated %s A for %s", rules.Figure(rules.RoundUp(most.A, 1)), x.id))
		}
	}
	return few(out)
}
