package circuit

import (
	"math"
	"slices"

	"example.org/headroom/schema"
)

// Where two networks share their negative side, as behind a converter that does
// not isolate, every return of the one hangs on the negative pole of the other.
// That does not make it a return of the other: a short circuit needs a place
// where the other's positive side can touch it, and in a branch of its own there
// is none. It has one where the conductor leads to the chassis, which anything
// may touch, and where it joins the two networks and both positive sides meet in
// one part.

// findForeign lists the parts that hang on the source's negative side and are
// fed by another source. What the other source feeds is tied to this negative side
// by its own resistors too, a bleed resistor among them; that makes it no part of it.
func (p *protection) findForeign(all []*protection) {
	negative, positive := p.sides[Negative], p.sides[Positive]
	for _, q := range all {
		if q != p {
			p.others = append(p.others, q)
		}
	}
	for _, ends := range p.loadEnds {
		for _, l := range []loop{{ends[0], ends[1]}, {ends[1], ends[0]}} {
			if !negative.all.has(l.here) || positive.all.has(l.there) {
				continue
			}
			// Both poles of what hangs on a lower battery of the string are on this side.
			tap := negative.metal.has(l.there)
			switch fed := func(q *protection) bool {
				return q.feeds(l) && (!tap || q.sides[Positive].metal.has(l.there))
			}; {
			case !slices.ContainsFunc(p.others, fed):
			case tap:
				p.taps = append(p.taps, l.here)
			default:
				p.foreign = append(p.foreign, l.here)
			}
		}
	}
}

// feeds reports whether the source feeds a part that returns here.
func (p *protection) feeds(l loop) bool {
	return p.sides[Negative].all.has(l.here) && p.sides[Positive].all.has(l.there)
}

// strayReturns lists where a short circuit comes from through a conductor of the
// negative side that returns none of the source's current, and whether any is
// credible.
func (p *protection) strayReturns(here *side, beyond branch) (returns []Node, credible bool) {
	if slices.ContainsFunc(p.taps, beyond.has) && !slices.ContainsFunc(p.others, func(q *protection) bool { return beyond.has(q.source.Neg) }) {
		return nil, false // the return of what hangs on a lower battery alone
	}
	chassis, ok := p.Node(schema.Chassis)
	if ok && beyond.has(chassis) || !slices.ContainsFunc(p.foreign, beyond.has) {
		// A strap or a sense lead, on which nothing hangs: from any feed, if there is
		// one. Where a conductor is missing behind the main fuse there is none, and all
		// that the source is left with is a return.
		return here.every, len(here.every) > 0
	}
	joins := false
	for _, q := range p.others {
		// Between the positive sides the current flows to the lower one.
		if beyond.has(q.source.Neg) && p.source.above(q.source) {
			joins = true
			returns = append(returns, p.meeting(q)...)
		}
	}
	if joins && len(returns) == 0 {
		return here.every, true // where they meet is not known
	}
	return sortedNodes(returns), joins
}

// above reports whether a source stands at a higher voltage than another. Of a
// traction battery one of several in series may be meant.
func (s Source) above(other Source) bool {
	if (s.Role == "traction") != (other.Role == "traction") {
		return s.Role == "traction"
	}
	return s.MaxV > other.MaxV
}

// meeting lists the positive terminals of parts in which the positive sides of
// both sources meet: converters between them, and switches with poles in both.
// Coils are insulated from their contacts so that these do not.
func (p *protection) meeting(q *protection) []Node {
	var out []Node
	for id, part := range p.Spec.Parts() {
		var mine, theirs []Node
		for _, pair := range facing(id, part) {
			if v, ok := p.nearer(pair); ok {
				mine = append(mine, v)
			}
			if v, ok := q.nearer(pair); ok {
				theirs = append(theirs, v)
			}
		}
		if len(theirs) > 0 {
			out = append(out, mine...)
		}
	}
	return out
}

// facing lists the positive terminals of a converter, and the two of each pole
// of a switch.
func facing(id string, part schema.Part) (pairs [][]string) {
	switch part := part.(type) {
	case *schema.Converter:
		pairs = [][]string{{id + ".in_pos"}, {id + ".out_pos"}}
	case *schema.Switch:
		for pole := range schema.Sorted(part.Poles) {
			pairs = append(pairs, []string{id + "." + pole + "_a", id + "." + pole + "_b"})
		}
	}
	return pairs
}

// nearer is the one of some terminals that the source's positive side reaches
// first: the one through which it feeds the others.
func (p *protection) nearer(terminals []string) (best Node, ok bool) {
	tree := p.sides[Positive].all
	for _, name := range terminals {
		v, known := p.Node(name)
		// A closed pole costs nothing, so both its ends do the same; the far one is
		// reached over the near one.
		if known && !math.IsInf(tree.cost[v], 1) && (!ok || tree.by[best] != nil && tree.by[best].Other(best) == v) {
			best, ok = v, true
		}
	}
	return best, ok
}
