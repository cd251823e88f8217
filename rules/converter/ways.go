package converter

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// feed is what feeds a network: a converter or charger, or a string of batteries.
type feed struct {
	circuit.SeriesString
	nominalV float64  // of the network
	nominal  []string // paths of what it is the sum of
}

// way is a load, the source that feeds it in a state, and what is lost between.
type way struct {
	load    *schema.Load
	state   *circuit.Solution
	feed    feed
	edges   []*circuit.Edge
	sourceV float64
	loadV   float64
	limit   float64
	policy  string
	worst   *circuit.Edge // the conductor with the greatest drop
	worstV  float64
}

func (w *way) percent() float64 { return 100 * (w.sourceV - w.loadV) / w.feed.nominalV }

// used is the share of the limit that is used up.
func (w *way) used() float64 { return w.percent() / w.limit }

// key names the conductor that loses most.
func (w *way) key() string {
	if w.worst == nil {
		return ""
	}
	return w.worst.ID
}

func (w *way) dropOver(e *circuit.Edge) float64 {
	v := w.state.V(e.From) - w.state.V(e.To)
	return max(v, -v)
}

func (w *way) findWorst() {
	for _, e := range w.edges {
		// Of two equal ones the first counts, whatever the last digits say.
		if v := w.dropOver(e); e.IsConductor() && v > w.worstV*(1+1e-9) {
			w.worst, w.worstV = e, v
		}
	}
}

// routes finds the ways of loads. It keeps the trees that it has grown, one for
// each source and state, since most loads share them.
type routes struct {
	*rules.Pass
	trees map[routeKey]*trees
}

type routeKey struct {
	state  *circuit.Solution
	source string
}

// trees lead from every node back to the two poles of a feed.
type trees struct {
	feed     feed
	pos, neg *circuit.Tree
}

func newRoutes(p *rules.Pass) *routes { return &routes{p, map[routeKey]*trees{}} }

// worst finds the mode in which a load loses most; nil if no source feeds it
// over conductors.
func (r *routes) worst(l *schema.Load) (*way, error) {
	var worst *way
	for _, mode := range modesOf(r.Pass, l.ID) {
		s := r.Circuit.Solve(circuit.Case{Mode: mode}.WithCopper(r.Spec.Policy.TerminalMaxC))
		if err := settled(s, l.ID); err != nil {
			return nil, err
		}
		if across(s, l.ID+".pos", l.ID+".neg") < fedV {
			continue
		}
		w := r.to(l, s)
		if w == nil {
			continue
		}
		if err := settled(s, demand.Element(w.edges).IDs()...); err != nil {
			return nil, err // what else flows on its way goes to and fro
		}
		if worst == nil || w.used() > worst.used() {
			worst = w
		}
	}
	return worst, nil
}

// to finds the source that feeds a load in a state: one that delivers, a
// converter before a battery, over closed metal and diodes; not over resistors,
// which lose voltage on purpose.
func (r *routes) to(l *schema.Load, s *circuit.Solution) *way {
	var best *way
	e := r.Circuit.Edge(l.ID)
	for _, source := range r.Circuit.Sources() {
		id := source.ID
		if source.Role == "converter" {
			id += ".out"
		}
		if s.Current(id) > -1e-6 || best != nil && (best.feed.isConverter() || source.Role != "converter") {
			continue
		}
		t := r.tree(s, source)
		pos, neg := t.feed.Pos(), t.feed.Neg()
		out, ok := t.pos.Back(e.From)
		back, ok2 := t.neg.Back(e.To)
		if !ok || !ok2 {
			continue
		}
		best = &way{load: l, state: s, feed: t.feed, edges: append(out, back...),
			sourceV: s.V(pos) - s.V(neg), loadV: s.V(e.From) - s.V(e.To)}
		best.limit, best.policy = dropLimit(r.Pass, l)
		best.findWorst()
	}
	return best
}

func (r *routes) tree(s *circuit.Solution, source circuit.Source) *trees {
	key := routeKey{s, source.ID}
	t := r.trees[key]
	if t == nil {
		f := feedOf(r.Pass, source)
		t = &trees{feed: f, pos: r.Circuit.Tree(s.Feeding(true), f.Pos()), neg: r.Circuit.Tree(s.Feeding(false), f.Neg())}
		r.trees[key] = t
	}
	return t
}

// feedOf is the feed to which a source belongs. Its nominal voltage is that of
// the network: of the auxiliary battery where a converter feeds one, else of the
// feed itself.
func feedOf(p *rules.Pass, s circuit.Source) feed {
	f := feed{SeriesString: p.Circuit.StringOf(s)}
	for _, x := range f.SeriesString {
		v, path := nominalOf(p, x)
		f.nominalV, f.nominal = f.nominalV+v, append(f.nominal, path)
	}
	return f
}

func (f feed) isConverter() bool { return f.SeriesString[0].Role == "converter" }

func nominalOf(p *rules.Pass, s circuit.Source) (volt float64, path string) {
	if b, ok := p.Spec.Batteries[s.ID]; ok {
		return b.NominalV, b.Path() + ".nominal_V"
	}
	if v, ok := p.Spec.Converters[s.ID]; ok {
		r := newRail(p.Circuit, p.Circuit.Solve(circuit.Case{AllClosed: true, NoDraw: true, NoLoads: true}), s.ID)
		for _, b := range r.auxiliaries() {
			return b.NominalV, b.Path() + ".nominal_V"
		}
		return v.Output.NominalV, v.Path() + ".output.nominal_V"
	}
	return s.MaxV, s.Path + ".max_V"
}
