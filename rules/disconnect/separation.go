package disconnect

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// reach marks what is connected to the two ends of a string of batteries
// with some disconnects open.
type reach struct {
	p *rules.Pass
	circuit.Poles
}

// reaching spreads from both ends; open names the disconnects that are open.
func reaching(p *rules.Pass, s circuit.SeriesString, open ...string) reach {
	isOpen := map[string]bool{}
	for _, id := range open {
		isOpen[id] = true
	}
	conducts := func(bool) circuit.Passes {
		return func(e *circuit.Edge, _ circuit.Node) bool { return e.Conducts() && !isOpen[e.Part] }
	}
	return reach{p, p.Circuit.ReachPoles(conducts, s.Pos(), s.Neg())}
}

// consumers counts what is connected to both ends, to the positive and to the
// negative one. What is deliberately always live does not count.
func (r reach) consumers() (both, pos, neg int) {
	for _, e := range r.p.Circuit.Edges {
		switch e.Kind {
		case circuit.LoadEdge, circuit.ControllerEdge, circuit.ConverterInput, circuit.CoilEdge, circuit.ChargerEdge:
		default:
			continue
		}
		if base := r.p.Spec.Part(e.Part).Common(); base.AlwaysLive || base.Spare {
			continue
		}
		if r.Span(e) {
			both++
		}
		if r.Pos[e.From] || r.Pos[e.To] {
			pos++
		}
		if r.Neg[e.From] || r.Neg[e.To] {
			neg++
		}
	}
	return both, pos, neg
}

// powered lists the controllers, converters and loads that are connected to both ends.
// What is deliberately always live does not count, nor do coils and enable inputs.
func (r reach) powered() (ids []string) {
	for _, e := range r.p.Circuit.Edges {
		switch e.Kind {
		case circuit.LoadEdge, circuit.ControllerEdge, circuit.ConverterInput:
			if base := r.p.Spec.Part(e.Part).Common(); !base.AlwaysLive && !base.Spare && r.Span(e) {
				ids = append(ids, e.Part)
			}
		}
	}
	return ids
}

// fitted lists the disconnects of the vehicle that are not spare parts.
func fitted(p *rules.Pass) []string {
	var ids []string
	for id, d := range schema.Sorted(p.Spec.Disconnects) {
		if !d.Spare {
			ids = append(ids, id)
		}
	}
	return ids
}

// separators lists the disconnects that cut off something that a string of
// batteries feeds, or that divide the string itself: each that does so by itself, or
// all of them where it takes them together. Feeds is whether the string feeds anything
// at all.
func separators(p *rules.Pass, s circuit.SeriesString) (by []string, feeds bool) {
	fed, _, _ := reaching(p, s).consumers()
	all := fitted(p)
	for _, id := range all {
		// In the middle of a string it leaves no current a way either.
		if left, _, _ := reaching(p, s, id).consumers(); left < fed || s.DividedBy(p.Circuit, p.Circuit.EdgesOf(id)...) {
			by = append(by, id)
		}
	}
	// A breaker that is stated to isolate counts where nothing is left that the string
	// powers: a charger may stay on it.
	powers := len(reaching(p, s).powered()) > 0
	for id, b := range schema.Sorted(p.Spec.Breakers) {
		if b.Spare || b.Isolates == nil || !*b.Isolates {
			continue
		}
		if powers && len(reaching(p, s, id).powered()) == 0 {
			by = append(by, id)
		}
	}
	if left, _, _ := reaching(p, s, all...).consumers(); len(by) == 0 && left < fed {
		by = all
	}
	return by, fed > 0
}
