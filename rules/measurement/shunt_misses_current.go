package measurement

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func shuntMissesCurrent() *rules.Rule {
	return &rules.Rule{
		ID:     "shunt-misses-current",
		Family: family,
		Title:  "a shunt does not carry all of the current that it should measure",
		Why: "What is connected on the battery's side of the shunt flows past the meter. The ampere-hours that it draws never show: " +
			"the gauge says half full, and the pack is empty.",
		Relation: "in every mode, the current of the part named in measures differs from that of the shunt by at most 1 % of the shunt's rating, which is what a panel instrument can show",
		Source:   "Kirchhoff's current law; IEC 60051 for the 1 % (from memory)",
		Level:    rules.Warning,
		Required: 1,
		Fix:      "connect what bypasses it on the other side of the shunt, or name in measures what the shunt carries",
		Example: rules.Example{Vehicle: "heron", Subject: "shunt", Edits: []rules.Edit{
			{Path: "wires.w_charge_neg.to", Value: `"shunt.sense_a"`}}},
		Check: checkShunts(checkMissed),
	}
}

// missed is the current that bypasses a shunt in a state.
type missed struct {
	state         *circuit.Solution
	trueA, shuntA float64
}

// a is the difference in A, without what the solution of the circuit leaves of it.
func (m missed) a() float64 {
	if d := math.Abs(m.trueA - m.shuntA); d > 1e-6*m.trueA {
		return d
	}
	return 0
}

func checkMissed(c *rules.Check, p *rules.Pass, s shunt) {
	if s.Measures == "" {
		c.NotChecked(s.field("measures"), "%s: whose current it measures is not stated", s.ID)
		return
	}
	measured, ok := s.measured(p)
	switch {
	case !ok:
		c.NotChecked(s.field("measures"), "what %s measures, %s, has no current of its own", s.ID, s.Measures)
		return
	case len(p.Spec.Modes) == 0:
		c.NotChecked("modes", "no mode says what flows through %s", s.ID)
		return
	}
	var worst missed
	for _, mode := range p.Circuit.States() {
		for _, k := range demand.Corners(mode) {
			state := p.Circuit.Solve(k)
			if c.Unsettled(state, append(ids(measured), s.ID)...) {
				return
			}
			m := missed{state, math.Abs(sum(state, measured)), math.Abs(state.Current(s.ID))}
			if worst.state == nil || m.a() > worst.a()*(1+1e-9) {
				worst = m
			}
		}
	}
	s.reportMissed(c, p, worst)
}

func (s shunt) reportMissed(c *rules.Check, p *rules.Pass, m missed) {
	at := m.state.Case
	c.In(at.Mode, at.String())
	c.Solved("I", "current of "+s.Measures, m.trueA, "A", "mode "+at.Mode+", "+at.String())
	c.Solved("I_s", "current of "+s.ID, m.shuntA, "A", "mode "+at.Mode+", "+at.String())
	rated := c.Given("I_n", "rating of "+s.ID, s.RatedA, "A", s.field("rated_A"))
	class := c.Standard("f", "accuracy class of a panel instrument", classPercent, "%", "IEC 60051 (from memory)")
	limit := c.Calc("dI_max", "difference too small for a panel instrument", "f I_n", rules.Term(class)+"/100 * "+rules.Term(rated), class/100*rated, "A")
	c.Calc("dI", "current that bypasses the shunt", "difference of both", rules.Term(max(m.trueA, m.shuntA))+" - "+rules.Term(min(m.trueA, m.shuntA)), m.a(), "A")
	past := ""
	if who := s.past(p, m.state); who != nil && m.a() > limit {
		past = ": " + who.Common().ID + " bypasses it"
		c.Related(who.Common().Path(), "bypasses the shunt")
	}
	c.AtMost(rules.Amperes(m.a()), rules.Amperes(limit), "%s: %s A in mode %s, %s carries %s A%s",
		s.ID, rules.Figure(m.shuntA), at.Mode, s.Measures, rules.Figure(m.trueA), past)
}

// measured lists the edges whose currents add up to what the shunt is to measure:
// all batteries on the battery's side of it where it measures one of them,
// else the input of the part.
func (s shunt) measured(p *rules.Pass) ([]*circuit.Edge, bool) {
	switch p.Spec.Part(s.Measures).(type) {
	case *schema.Battery:
		if where, ok := s.batterySide(p); ok && where.of.Has(s.Measures) {
			return s.batteriesBeside(p, where), true
		}
		return []*circuit.Edge{p.Circuit.Edge(s.Measures)}, true
	case *schema.Converter:
		return []*circuit.Edge{p.Circuit.Edge(s.Measures + ".in")}, true
	case *schema.Contactor:
		return []*circuit.Edge{p.Circuit.Edge(s.Measures + ".contact")}, true
	}
	e := p.Circuit.Edge(s.Measures)
	return []*circuit.Edge{e}, e != nil
}

// batteriesBeside lists, one for each string in parallel, the batteries whose
// pole is on the battery's side of the shunt.
func (s shunt) batteriesBeside(p *rules.Pass, where side) []*circuit.Edge {
	end := s.edge.From
	if where.b {
		end = s.edge.To
	}
	beside := s.reach(p, end)
	var out []*circuit.Edge
	for id := range schema.Sorted(p.Spec.Batteries) {
		e := p.Circuit.Edge(id)
		if where.positive && beside[e.From] || !where.positive && beside[e.To] {
			out = append(out, e)
		}
	}
	return out
}

func ids(edges []*circuit.Edge) []string { return demand.Element(edges).IDs() }

func sum(state *circuit.Solution, edges []*circuit.Edge) (a float64) {
	for _, e := range edges {
		a += state.Current(e.ID)
	}
	return a
}

// past is the part with the greatest current of those that are fed without the
// shunt in a state; nil if there is none.
func (s shunt) past(p *rules.Pass, state *circuit.Solution) schema.Part {
	behind := p.Circuit.Behind(state, s.set()...)
	var who *circuit.Edge
	var most float64
	for _, e := range p.Circuit.Edges {
		switch e.Kind {
		case circuit.LoadEdge, circuit.ControllerEdge, circuit.ConverterInput, circuit.CoilEdge, circuit.ChargerEdge:
		default:
			continue
		}
		if i := math.Abs(state.Current(e.ID)); i > most && p.Circuit.SameNetwork(e.From, s.edge.From) && !slices.Contains(behind, e) {
			who, most = e, i
		}
	}
	if who == nil {
		return nil
	}
	return p.Spec.Part(who.Part)
}
