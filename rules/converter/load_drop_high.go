package converter

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func loadDropHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "load-drop-high",
		Family: family,
		Title:  "too much voltage is lost on the way to a consumer and back",
		Why: "A lamp's light falls with the third to fourth power of its voltage, a motor struggles to start, and the loss heats cables, " +
			"switches and joints. A poor joint adds to a cable that was chosen with nothing to spare.",
		Relation: "(V at the source's terminals - V at the consumer) / nominal voltage of the network <= policy.drop_critical_percent for lamps, electronics and " +
			"critical consumers, policy.drop_other_percent for others; out and back, with everything of the mode on, copper hot",
		Source:   "ABYC E-11 (3 % and 10 %), common practice on road vehicles",
		Level:    rules.Warning,
		Required: 1,
		Policy:   []string{"policy.drop_critical_percent", "policy.drop_other_percent", "policy.terminal_max_C"},
		Fix:      "use a larger cable, or a separate return",
		Example: rules.Example{Vehicle: "heron", Subject: "headlamp", Edits: []rules.Edit{
			{Path: "wires.w_head_pos.size", Value: `"0.5 mm2"`}, {Path: "wires.w_head_neg.size", Value: `"0.5 mm2"`}, {Path: "wires.w_head_neg.length_m", Value: "6"}}},
		Check: checkLoadDrop,
	}
}

func checkLoadDrop(p *rules.Pass) {
	type dropped struct {
		c *rules.Check
		w *way
	}
	var all []dropped
	routes := newRoutes(p)
	primary := map[string]*way{} // by the conductor that loses most
	for id, l := range schema.Sorted(p.Spec.Loads) {
		if l.Spare || !p.Circuit.Connected(id+".pos") || !p.Circuit.Connected(id+".neg") {
			continue
		}
		c := p.Subject(id, l.Path())
		if p.Unsound(c, id+".pos", id+".neg") {
			continue
		}
		w, err := routes.worst(l)
		switch {
		case err != nil && unsettled(c, err):
		case len(modesOf(p, id)) == 0:
			c.NotChecked("a mode that turns on "+id, "no mode turns on %s", id)
		case w == nil:
			c.NotChecked("a way over conductors to "+id, "no source feeds %s over conductors alone in the modes that turn it on", id)
		default:
			all = append(all, dropped{c, w})
			if best := primary[w.key()]; w.worst != nil && (best == nil || w.used() > best.used()) {
				primary[w.key()] = w
			}
		}
	}
	for _, j := range all {
		// Consumers behind one weak conductor make one finding: the worst.
		if first := primary[j.w.key()]; first != nil && first != j.w && first.used() > 1 {
			j.c.Because(p.Rule.ID, first.load.ID)
		}
		checkDrop(j.c, p, j.w)
	}
}

// dropLimit is the drop allowed for a load, in percent. Lamps and electronics
// count with what is critical: a low voltage shows on them first.
func dropLimit(p *rules.Pass, l *schema.Load) (percent float64, policy string) {
	switch l.LoadKind {
	case "led", "filament", "electronic":
		return p.Spec.Policy.DropCriticalPercent, "policy.drop_critical_percent"
	}
	if l.Critical {
		return p.Spec.Policy.DropCriticalPercent, "policy.drop_critical_percent"
	}
	return p.Spec.Policy.DropOtherPercent, "policy.drop_other_percent"
}

func checkDrop(c *rules.Check, p *rules.Pass, w *way) {
	id := w.load.ID
	c.In(w.state.Case.Mode, w.state.Case.String())
	c.Solved("U_s", "voltage at the terminals of "+w.feed.Name(), w.sourceV, "V", inMode(w.state.Case))
	c.Solved("U", "voltage at "+id, w.loadV, "V", inMode(w.state.Case))
	lost := c.Solved("dU", "total drop", w.sourceV-w.loadV, "V", inMode(w.state.Case))
	for _, e := range w.edges {
		if v := w.dropOver(e); v > 0.1*lost {
			c.Solved("dU_"+e.ID, "drop over "+e.ID+", at "+rules.Figure(current(w.state, e))+" A", v, "V", inMode(w.state.Case))
		}
	}
	nominal := w.feed.explainNominal(c.Working, p.Spec)
	drop := c.Line("d", "drop, out and back", calc.DropPercent(lost, nominal))
	limit := c.Default("d_max", "drop allowed for "+w.load.LoadKind, w.limit, "%", w.policy)
	if w.worst != nil && drop > limit {
		w.advise(c, p)
	}
	if drop > limit && w.isOverload(p, drop) {
		c.Because(overloadedID, w.feed.Name())
	}
	if drop > limit {
		if low := lowestAt(p, id, []string{w.state.Case.Mode}); w.load.MinV.Known && !low.alone && low.v < w.load.MinV.Value {
			c.Because(loadVoltageLowID, id)
		}
	}
	c.AtMost(rules.Quantity{Value: drop, Unit: "%"}, rules.Quantity{Value: limit, Unit: "%"},
		"%s: drop of %s %% (%s V of %s V) from %s in mode %s, limit %s %%",
		id, rules.Figure(drop), rules.Figure(lost), rules.Figure(nominal), w.feed.Name(), w.state.Case.Mode, rules.Figure(limit))
}

// explainNominal adds the nominal voltage of the network to a working.
func (f feed) explainNominal(w *rules.Working, spec *schema.Spec) float64 {
	if len(f.nominal) == 1 {
		return w.Given("U_n", "nominal voltage of its network", f.nominalV, "V", f.nominal[0])
	}
	var terms []string
	for i, path := range f.nominal {
		terms = append(terms, rules.Term(w.Given("U_"+f.SeriesString[i].ID, "nominal voltage of "+f.SeriesString[i].ID, spec.Batteries[f.SeriesString[i].ID].NominalV, "V", path)))
	}
	return w.Calc("U_n", "nominal voltage of its network: batteries in series", "sum", strings.Join(terms, " + "), f.nominalV, "V")
}

// isOverload reports whether a drop comes from an overloaded converter and
// would pass if the converter supplied no more than its rating.
func (w *way) isOverload(p *rules.Pass, drop float64) bool {
	v := p.Spec.Converters[w.feed.Name()]
	if v == nil || w.worst == nil || 2*current(w.state, w.worst) < current(w.state, p.Circuit.Edge(v.ID+".out")) {
		return false
	}
	all, err := budgets(p, v)
	b, ok := worstContinuous(p, v, all)
	if err != nil || !ok || b.meanA == 0 {
		return false
	}
	allowed := placeOf(p, v, b.mode).continuousA(v) / overloadedHeadroom(p) / b.meanA
	return allowed < 1 && drop*allowed <= w.limit
}

func current(s *circuit.Solution, e *circuit.Edge) float64 {
	i := s.Current(e.ID)
	return max(i, -i)
}

// advise says which conductor loses most, and which size would do in its place.
func (w *way) advise(c *rules.Check, p *rules.Pass) {
	c.Related(p.Spec.Conductor(w.worst.ID).Path(), "the conductor that loses most")
	wire, excess := p.Spec.Wires[w.worst.ID], (w.percent()-w.limit)/100*w.feed.nominalV
	if wire == nil || excess <= 0 {
		return
	}
	if size, ok := sizeFor(wire, current(w.state, w.worst), w.worstV-excess, p.Spec.Policy.TerminalMaxC); ok {
		c.Fix("use at least %s for %s, which drops %s V over %s m of %s", size, wire.ID, rules.Figure(w.worstV),
			rules.Figure(wire.LengthM), wire.Size)
		return
	}
	if size, ids, ok := w.sizeForAll(p, excess); ok {
		c.Fix("use at least %s for %s", size, strings.Join(ids, ", "))
		return
	}
	c.Fix("use larger cables along the way, not only for %s, which drops %s V over %s m of %s", wire.ID,
		rules.Figure(w.worstV), rules.Figure(wire.LengthM), wire.Size)
}

// sizeForAll is the least size with which all wires of the way that are thinner
// lose as much less as is in excess in V, and those wires. Beyond four times the
// section of the one that loses most, no consumer's terminals take it.
func (w *way) sizeForAll(p *rules.Pass, excess float64) (text string, ids []string, ok bool) {
	worst, err := calc.ParseSize(p.Spec.Wires[w.worst.ID].Size)
	if err != nil {
		return "", nil, false
	}
	type loss struct {
		wire               *schema.Wire
		currentA, droppedV float64
	}
	var losses []loss
	met := map[string]bool{}
	for _, e := range w.edges {
		if wire := p.Spec.Wires[e.ID]; wire != nil && !met[e.ID] {
			met[e.ID] = true
			losses = append(losses, loss{wire, current(w.state, e), w.dropOver(e)})
		}
	}
	for _, text := range metricSizes() {
		size, err := calc.ParseSize(text)
		if err != nil {
			continue
		}
		if size.AreaMM2 > 4*worst.AreaMM2*(1+1e-9) {
			break
		}
		ids, saved := ids[:0], 0.0
		for _, x := range losses {
			ohm, err := calc.Resistance(size, x.wire.LengthM, p.Spec.Policy.TerminalMaxC)
			if less := x.droppedV - ohm*x.currentA; err == nil && less > 1e-9 {
				ids, saved = append(ids, x.wire.ID), saved+less
			}
		}
		if saved >= excess {
			slices.Sort(ids)
			return text, ids, true
		}
	}
	return "", nil, false
}

// metricSizes are the usual sizes of wires, the least first.
func metricSizes() []string {
	return []string{"0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2", "25 mm2", "35 mm2", "50 mm2", "70 mm2", "95 mm2", "120 mm2"}
}

// sizeFor is the smallest metric size that drops no more than a voltage over
// the length of a wire.
func sizeFor(w *schema.Wire, currentA, dropV, tempC float64) (string, bool) {
	if dropV <= 0 {
		return "", false
	}
	for _, text := range metricSizes() {
		size, err := calc.ParseSize(text)
		if err != nil {
			continue
		}
		if ohm, err := calc.Resistance(size, w.LengthM, tempC); err == nil && ohm*currentA <= dropV {
			return text, true
		}
	}
	return "", false
}
