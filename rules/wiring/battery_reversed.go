package wiring

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// checkBatteries finds batteries that are connected in reverse polarity. The
// polarity at the consumers tells a reversed battery from a reversed consumer: all of
// them have their negative terminal on its positive one. Found there, a battery
// is the cause of whatever else is wrong in its circuit.
func checkBatteries(p *rules.Pass) {
	ends := polarizedEnds(p)
	for id, b := range schema.Sorted(p.Spec.Batteries) {
		if b.Spare || !p.Circuit.Connected(id+".pos") || !p.Circuit.Connected(id+".neg") {
			continue
		}
		c := p.Subject(id, b.Path())
		if p.Unsound(c, id+".pos", id+".neg") {
			continue
		}
		if wrong := batteryReversed(p, id, ends); wrong != "" {
			c.Turned(id)
			c.Fix("swap the two conductors at %s, with everything else disconnected", id)
			c.Fail("%s is connected in reverse polarity: its positive terminal leads to %s", id, wrong)
			continue
		}
		c.Holds(true, "%s is connected in the right polarity", id)
	}
}

// end is a terminal of a part with a polarity.
type end struct {
	node     circuit.Node
	name     string
	part     string
	positive bool
}

// polarizedEnds lists the terminals of what batteries feed and are fed by.
func polarizedEnds(p *rules.Pass) (out []end) {
	add := func(id, pos, neg string) {
		for _, terminal := range []string{pos, neg} {
			if v, ok := p.Circuit.Node(id + "." + terminal); ok && p.Circuit.Connected(id+"."+terminal) {
				out = append(out, end{v, id + "." + terminal, id, terminal == pos})
			}
		}
	}
	for id, part := range p.Spec.Parts() {
		if part.Common().Spare {
			continue
		}
		switch part.(type) {
		case *schema.Converter:
			add(id, "out_pos", "out_neg")
		case *schema.Load:
			add(id, "pos", "neg") // of a lamp too the names tell which polarity was meant
			continue
		}
		for _, pair := range polarized(part) {
			add(id, pair[0], pair[1])
		}
	}
	return out
}

// batteryReversed returns a terminal of the other polarity that a battery's positive
// one leads to, if the battery must be in reverse polarity: by itself, or together
// with its neighbours in the string that are turned as it is.
func batteryReversed(p *rules.Pass, id string, ends []end) (wrong string) {
	sources := p.Circuit.Sources()
	own := sources[slices.IndexFunc(sources, func(s circuit.Source) bool { return s.ID == id })]
	if wrong = reversed(p, circuit.SeriesString{own}, ends); wrong != "" {
		return wrong
	}
	alike := p.Circuit.StringOf(own)
	if len(alike) == 1 || slices.ContainsFunc(alike, func(s circuit.Source) bool { return s.Role != own.Role }) {
		return "" // batteries of two networks are joined where these share a pole
	}
	return reversed(p, alike, ends)
}

// reversed returns a terminal of the other polarity that the positive end of some
// batteries in series leads to, if they must be in reverse polarity: everything with a
// polarity on either end says so, and either several parts do, or they oppose another
// battery of their string.
func reversed(p *rules.Pass, list circuit.SeriesString, ends []end) (wrong string) {
	pos, neg := p.Circuit.Reach(circuit.AllClosed, list.Pos()), p.Circuit.Reach(circuit.AllClosed, list.Neg())
	parts, crossed := map[string]bool{}, false
	for _, e := range ends {
		switch {
		case pos[e.node] && neg[e.node]:
			return "" // its poles are connected: a changeover, or a short circuit
		case pos[e.node] && e.positive, neg[e.node] && !e.positive:
			return ""
		case pos[e.node], neg[e.node]:
			parts[e.part] = true
			crossed = crossed || neg[e.node]
			if pos[e.node] && wrong == "" {
				wrong = e.name
			}
		}
	}
	var facesNeg, facesPos, middle bool
	for _, source := range p.Circuit.Sources() {
		if !source.IsBattery() || list.Has(source.ID) {
			continue
		}
		middle = middle || pos[source.Neg]
		facesNeg = facesNeg || neg[source.Neg] && !pos[source.Pos]
		if pos[source.Pos] && !neg[source.Neg] {
			facesPos = true
			if wrong == "" {
				wrong = source.ID + ".pos"
			}
		}
	}
	switch {
	case len(parts) == 0: // within a string: both neighbours face it with the same pole
		if facesNeg && facesPos {
			return wrong
		}
		return ""
	case middle && !crossed: // a consumer may be tapped in the middle of a string
		return ""
	case len(parts) > 1 || facesNeg || facesPos:
		return wrong
	}
	return ""
}
