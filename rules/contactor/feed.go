package contactor

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// feed is how current comes to a coil by intent: over conductors and closed contacts, diodes in
// their forward direction and dropper resistors, out from a source and back.
type feed struct {
	mode   string
	source circuit.Source
	path   []*circuit.Edge // from the source's positive terminal to the coil, and on to its negative one
}

// feeds lists the modes that energise a device: those in which, with nominal
// supplies and starting from all contacts open, a feed reaches its coil.
func (d device) feeds(p *rules.Pass) []feed {
	if found, ok := d.fed[d.id]; ok {
		return found
	}
	var out []feed
	for _, mode := range p.Circuit.States() {
		k := circuit.Case{Mode: mode, Start: circuit.FromOpen, NoDraw: true, Waiting: d.id}
		if p.Circuit.Dead(d.coilID(), k) {
			continue
		}
		s := p.Circuit.Unmoved(k)
		if s == nil || d.coilV(s) < 2*leakShare*d.coil.NominalV {
			s = p.Circuit.Solve(k)
		}
		if s.Failed != "" || math.Abs(d.coilV(s)) < leakShare*d.coil.NominalV {
			continue
		}
		if f, ok := d.feedIn(p, s); ok {
			f.mode = mode
			out = append(out, f)
		}
	}
	d.fed[d.id] = out
	return out
}

// leakShare is the share of its nominal voltage below which a coil is not meant
// to be on: what a pilot lamp or a bleed across an open key passes.
const leakShare = 0.1

// feedIn finds the feed from the first source that has one in a solved state.
func (d device) feedIn(p *rules.Pass, s *circuit.Solution) (feed, bool) {
	coil := p.Circuit.Edge(d.id + ".coil")
	for _, source := range p.Circuit.Sources() {
		if !supplies(p, s, source) || !s.Together(source.Pos, coil.From) {
			continue
		}
		cost := intended(p, s, source.ID)
		for _, ends := range [][2]circuit.Node{{coil.From, coil.To}, {coil.To, coil.From}} {
			out := p.Circuit.PlainPath(source.Pos, ends[0], cost)
			if out == nil && source.Pos != ends[0] {
				continue
			}
			back := p.Circuit.PlainPath(ends[1], source.Neg, cost)
			if back != nil || source.Neg == ends[1] {
				return feed{source: source, path: slices.Concat(out, back)}, true
			}
		}
	}
	return feed{}, false
}

// supplies reports whether a source is there to feed coils in a state: a converter
// that runs, a charger that is connected, a battery with a voltage.
func supplies(p *rules.Pass, s *circuit.Solution, source circuit.Source) bool {
	switch source.Role {
	case "charger":
		m := p.Circuit.Mode(s.Case.Mode)
		return m != nil && slices.Contains(m.Connected, source.ID)
	case "converter":
		return slices.Contains(s.ConvertersOn, source.ID)
	}
	return s.Together(source.Pos, source.Neg) && s.V(source.Pos)-s.V(source.Neg) >= 1
}

// intended is a cost for Path over what a coil is meant to be fed through in a
// state, in the direction of the current. Batteries in series count as conductors.
// A diode costs more than any switch, so that a plain feed goes first.
func intended(p *rules.Pass, s *circuit.Solution, source string) func(*circuit.Edge, circuit.Node) (float64, bool) {
	return func(e *circuit.Edge, enter circuit.Node) (float64, bool) {
		switch e.Kind {
		case circuit.SwitchEdge, circuit.ContactEdge:
			return 1, s.Closed(e.ID)
		case circuit.DiodeEdge:
			return 100, enter == e.From
		case circuit.ResistorEdge:
			r, ok := p.Spec.Resistors[e.Part]
			return 100, ok && r.Role == "dropper"
		case circuit.BatteryEdge:
			return 1, e.Part != source && enter == e.To
		}
		return 1, e.Conducts()
	}
}

// has reports whether an edge is on the feed.
func (f feed) has(e *circuit.Edge) bool { return slices.Contains(f.path, e) }

// dropper returns the dropper resistor of the feed, "" if it has none.
func (f feed) dropper() string {
	for _, e := range f.path {
		if e.Kind == circuit.ResistorEdge {
			return e.Part
		}
	}
	return ""
}

// upstream lists the other contactors and relays whose contacts are on the feed.
func (d device) upstream(f feed) []string {
	var ids []string
	for _, e := range f.path {
		if e.Kind == circuit.ContactEdge && e.Part != d.id && !slices.Contains(ids, e.Part) {
			ids = append(ids, e.Part)
		}
	}
	return ids
}

// opener is something a hand or a controller opens to release a device.
type opener struct {
	part  string
	role  string // of a switch; "driver" for a controller's output
	edges []string
}

// cutsOff reports whether the opener is there to switch the vehicle off, so
// that whatever holds in spite of it is a fault.
func (o opener) cutsOff() bool { return o.role == "key" || o.role == "emergency-stop" }

func (o opener) open() string { return strings.Join(o.edges, " ") }

// openers lists the switches on the feeds of a device, by intent, and on the
// feeds of the relays that these pass through. All poles of a switch open
// together.
func (d device) openers(p *rules.Pass, feeds []feed) []opener {
	var out []opener
	seen := map[string]bool{}
	var collect func(d device, feeds []feed)
	collect = func(d device, feeds []feed) {
		seen[d.id] = true
		for _, f := range feeds {
			for _, e := range f.path {
				if o, ok := openerOf(p, e); ok && !slices.ContainsFunc(out, func(x opener) bool { return x.part == o.part }) {
					out = append(out, o)
				}
			}
			before := d.upstream(f)
			for _, up := range devices(p) {
				if slices.Contains(before, up.id) && !seen[up.id] {
					collect(up, up.feeds(p))
				}
			}
		}
	}
	collect(d, feeds)
	slices.SortFunc(out, func(a, b opener) int { return strings.Compare(a.part, b.part) })
	return out
}

// openerOf returns what a switch edge belongs to. A service disconnect is not
// an opener: what stays live behind it is a matter of the circuit's rules.
func openerOf(p *rules.Pass, e *circuit.Edge) (opener, bool) {
	if e.Kind != circuit.SwitchEdge {
		return opener{}, false
	}
	if sw, ok := p.Spec.Switches[e.Part]; ok {
		o := opener{part: e.Part, role: sw.Role}
		for pole := range schema.Sorted(sw.Poles) {
			o.edges = append(o.edges, e.Part+"."+pole)
		}
		return o, true
	}
	if _, ok := p.Spec.Controllers[e.Part]; ok {
		return opener{part: e.Part, role: "driver", edges: []string{e.ID}}, true
	}
	return opener{}, false
}

// againstCurrent is a cost for Path against the current of a state: from a node to where
// its current comes from. Edges that carry less than least do not count.
func againstCurrent(s *circuit.Solution, least float64, without string) func(*circuit.Edge, circuit.Node) (float64, bool) {
	return func(e *circuit.Edge, enter circuit.Node) (float64, bool) {
		i := s.Current(e.ID)
		if enter == e.From {
			i = -i
		}
		return 1, i > least && e.ID != without
	}
}

// suppliers traces where a coil's current comes from in a state: the edges
// from the source to the coil and from the coil back, whatever they are.
func (d device) suppliers(p *rules.Pass, s *circuit.Solution) []*circuit.Edge {
	coil := p.Circuit.Edge(d.id + ".coil")
	in, out := coil.From, coil.To
	if s.Current(coil.ID) < 0 {
		in, out = out, in
	}
	least := math.Abs(s.Current(coil.ID)) / 100
	var best []*circuit.Edge
	for _, source := range p.Circuit.Sources() {
		feed := p.Circuit.Path(in, source.Pos, againstCurrent(s, least, coil.ID))
		back := p.Circuit.Path(source.Neg, out, againstCurrent(s, least, coil.ID))
		if feed == nil && in != source.Pos || back == nil && out != source.Neg {
			continue
		}
		if n := len(feed) + len(back); n > 0 && (best == nil || n < len(best)) {
			best = slices.Concat(feed, back)
		}
	}
	return best
}

// isSneak reports whether a path goes through something that is not there to
// feed a coil: a lamp, a resistor, a meter, another coil.
func isSneak(p *rules.Pass, path []*circuit.Edge) bool {
	return slices.ContainsFunc(path, func(e *circuit.Edge) bool {
		switch e.Kind {
		case circuit.ResistorEdge:
			r, ok := p.Spec.Resistors[e.Part]
			return !ok || r.Role != "dropper"
		case circuit.LoadEdge, circuit.MeterEdge, circuit.EnableEdge, circuit.CoilEdge, circuit.ControllerEdge:
			return true
		}
		return false
	})
}

// names lists the parts and conductors of a path once each.
func names(path []*circuit.Edge) string {
	var ids []string
	for _, e := range path {
		if !slices.Contains(ids, e.Part) {
			ids = append(ids, e.Part)
		}
	}
	return strings.Join(ids, " - ")
}

// partNames lists the parts of a path; its conductors where it has no other.
func partNames(path []*circuit.Edge) string {
	parts := slices.DeleteFunc(slices.Clone(path), (*circuit.Edge).IsConductor)
	if len(parts) == 0 {
		return names(path)
	}
	return names(parts)
}

// detour is what a path goes through that the feeds do not.
func detour(path []*circuit.Edge, feeds []feed) []*circuit.Edge {
	var out []*circuit.Edge
	for _, e := range path {
		if !slices.ContainsFunc(feeds, func(f feed) bool { return f.has(e) }) {
			out = append(out, e)
		}
	}
	if out == nil {
		return path
	}
	return out
}

// pathOf is the path in the spec of what an edge belongs to.
func pathOf(p *rules.Pass, e *circuit.Edge) string {
	switch e.Kind {
	case circuit.WireEdge:
		return p.Spec.Wires[e.Part].Path()
	case circuit.BusbarEdge:
		return p.Spec.Busbars[e.Part].Path()
	}
	return p.Spec.Part(e.Part).Common().Path()
}
