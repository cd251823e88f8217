package converter

import (
	"fmt"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

const loadVoltageLowID = "load-voltage-low"

func loadVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     loadVoltageLowID,
		Family: family,
		Title:  "a consumer gets less voltage than it needs",
		Why: "Below its lowest voltage an LED lamp goes out, a display restarts and a horn is silent. It works on the bench and fails at the " +
			"end of eight metres of thin cable, or when the converter is off and the battery nearly flat.",
		Relation: "V at the consumer >= min_V in every mode that turns it on: converter running with a nominal and an empty pack, " +
			"and auxiliary battery alone at its min_V (then a warning); copper hot; a critical load without min_V gets some in every mode that turns it on, " +
			"and any load that a mode turns on is connected to a source at both ends",
		Source: "data sheet; circuit theory",
		Level:  rules.Error,
		Varies: "warning on the auxiliary battery alone when flat, unless the load is critical or never gets enough with the converter running either; and where a mode " +
			"turns on what nothing feeds and the load is not critical",
		Required: 1,
		Policy:   []string{"policy.terminal_max_C", "policy.converter_output_mOhm"},
		Fix:      "use a larger cable, take load off the network, or use a consumer with a lower min_V",
		Example: rules.Example{Vehicle: "heron", Subject: "headlamp", Edits: []rules.Edit{
			{Path: "loads.headlamp.min_V", Value: "10.8"}}},
		Check: checkLoadVoltageLow,
	}
}

// found is a device with what it gets, before it is reported.
type found struct {
	c *rules.Check
	d device
	w consumerV
}

// share is what it gets as a share of what it needs.
func (f *found) share() float64 { return f.w.v / f.d.minV.Value }

func (f *found) fails() bool {
	return f.w.ok && f.w.unfed == "" && f.w.failed == nil && f.d.minV.Known && f.share() < 1
}

func checkLoadVoltageLow(p *rules.Pass) {
	var all []*found
	for _, d := range supplied(p) {
		if d.hasNoLeast() && d.load == nil {
			continue
		}
		c := p.Subject(d.id, d.path)
		if p.Unsound(c, d.id+".pos", d.id+".neg") {
			continue
		}
		if len(d.modes) == 0 && d.hasNoLeast() && !d.critical() {
			continue
		}
		if len(d.modes) == 0 {
			c.NotChecked("a mode that turns on "+d.id, "no mode turns on %s", d.id)
			continue
		}
		f := &found{c, d, lowestAt(p, d.id, d.modes)}
		if supply, back := f.lacks(p); d.hasNoLeast() && (f.w.unfed == "" || !d.critical() && !supply && !back) {
			continue
		}
		all = append(all, f)
	}
	// What one weak conductor or one flat battery does to several consumers is
	// one finding: that of the consumer which misses most.
	r, primary := newRoutes(p), map[string]*found{}
	for _, f := range all {
		if key := f.cause(r); key != "" && (primary[key] == nil || f.share() < primary[key].share()) {
			primary[key] = f
		}
	}
	for i, f := range all {
		if first := f.deadBefore(p, all[:i]); first != nil {
			f.c.Because(p.Rule.ID, first.d.id)
		}
		if first := primary[f.cause(r)]; first != nil && first != f {
			f.c.Because(p.Rule.ID, first.d.id)
		}
		f.report(p, r)
	}
}

// cause names what makes a load miss its voltage: the source, where that is
// too low itself, else the conductor that loses most; "" if it misses nothing.
func (f *found) cause(r *routes) string {
	if f.d.load == nil || !f.fails() {
		return ""
	}
	w := r.to(f.d.load, r.Circuit.Solve(f.w.state))
	switch {
	case w == nil:
		return ""
	case w.sourceV < f.d.minV.Value:
		return w.feed.Name()
	}
	return w.key()
}

// deadBefore is the first of others that no source reaches either for want of the same
// supply or return: one strap that is not there is one mistake.
func (f *found) deadBefore(p *rules.Pass, others []*found) *found {
	supply, back := f.lacks(p)
	own := p.Circuit.Edge(f.d.id)
	for _, g := range others {
		e := p.Circuit.Edge(g.d.id)
		if noSupply, noBack := g.lacks(p); supply && noSupply && p.Circuit.MetalJoins(e.From, own.From) || back && noBack && p.Circuit.MetalJoins(e.To, own.To) {
			return g
		}
	}
	return nil
}

// lacks reports whether a load has no supply in a mode since no source reaches its one or
// its other end, whatever is closed.
func (f *found) lacks(p *rules.Pass) (supply, back bool) {
	if f.w.unfed == "" || f.d.load == nil {
		return false, false
	}
	fed, returned := p.Circuit.Supplied(p.Circuit.Edge(f.d.id))
	return !fed, !returned
}

// critical reports whether lives may depend on a device.
func (d device) critical() bool { return d.load != nil && d.load.Critical }

// hasNoLeast reports whether a device need not state a least voltage: a
// filament or heater works at any, only weaker (its drop is another rule), and
// a moving-coil instrument needs no supply.
func (d device) hasNoLeast() bool {
	if d.minV.Known {
		return false
	}
	return d.load == nil || d.load.LoadKind == "filament" || d.load.LoadKind == "resistive"
}

// halfWired reports whether nothing but the consumer itself connects its two
// terminals, even with everything closed: no source then feeds it.
func halfWired(p *rules.Pass, id string) bool {
	pos, ok1 := p.Circuit.Node(id + ".pos")
	neg, ok2 := p.Circuit.Node(id + ".neg")
	if !ok1 || !ok2 {
		return false
	}
	other := func(e *circuit.Edge, _ circuit.Node) bool { return e.ID != id }
	return pos == neg || !p.Circuit.Reaches(pos, neg, other)
}

func (f *found) report(p *rules.Pass, r *routes) {
	c, d, w := f.c, f.d, f.w
	switch {
	case w.unfed != "" && d.load != nil:
		f.reportUnfed(p)
		return
	case w.failed != nil && unsettled(c, w.failed):
		return
	case !w.ok:
		c.NotChecked("a mode that feeds "+d.id, "no mode feeds %s", d.id)
		return
	case !d.minV.Known:
		c.NotChecked(d.path+".min_V", "%s: its lowest working voltage is not stated", d.id)
		return
	}
	c.In(w.state.Mode, w.state.String())
	need := c.Given("V_min", "lowest voltage at which "+d.id+" works", d.minV.Value, "V", d.path+".min_V")
	c.Solved("V", "lowest voltage across "+d.id, w.v, "V", inMode(w.state))
	where := ""
	switch never := w.best < need; {
	case w.alone && never:
		c.Solved("V_run", "most that it gets with the converter running", w.best, "V", "pack at nominal voltage")
		where = " with the auxiliary battery flat, and never more than " + rules.Figure(w.best) + " V"
	case w.alone:
		if !d.critical() {
			c.Level(rules.Warning)
		}
		where = " with the converter off and the auxiliary battery flat"
	}
	if w.v < need*p.Required() {
		c.Fix("%s", lowFix(p, r, d, w))
	}
	if w.v < need && w.limiting != "" {
		because(c, p, w.limiting, w.state.Mode, d.id)
	}
	c.AtLeast(rules.Volts(need), rules.Volts(w.v), "%s: %s V in mode %s%s, works down to %s V",
		d.id, rules.Figure(w.v), w.state.Mode, where, rules.Figure(need))
}

// reportUnfed reports a load that a mode turns on and nothing feeds there.
func (f *found) reportUnfed(p *rules.Pass) {
	c, id, mode := f.c.In(f.w.unfed, ""), f.d.id, f.w.unfed
	if supply, back := f.lacks(p); supply || back || halfWired(p, id) {
		if part := p.Circuit.BrokenOffAt(p.Circuit.Edge(id)); part != "" && (supply || back) {
			c.Because("terminal-unconnected", part)
		}
		c.Fix("connect the supply of %s to that of its source, and its return to the return of it", id)
		c.Fail("%s: turned on in mode %s, but its supply or its return is not connected to the source", id, mode)
		return
	}
	if !f.d.critical() {
		c.Level(rules.Warning)
	}
	c.Fix("add what feeds %s to the closed list of mode %s, or remove %s from its on list", id, mode, id)
	c.Fail("%s: turned on in mode %s, but nothing feeds it there", id, mode)
}

// lowFix proposes what can help: no cable where the source itself is too low, and no
// cut-off that a battery of that voltage never reaches.
func lowFix(p *rules.Pass, r *routes, d device, w consumerV) string {
	need := d.minV.Value * p.Required()
	consumer := fmt.Sprintf("use a consumer that works down to %s V", rules.Figure(rules.RoundDown(w.v/p.Required(), 0.1)))
	var from *way
	if d.load != nil {
		from = r.to(d.load, r.Circuit.Solve(w.state))
	}
	cable := "use a larger cable, "
	if from != nil && from.sourceV < need {
		cable = ""
	}
	switch {
	case from != nil && from.feed.nominalV < need:
		return fmt.Sprintf("%s, or feed %s from a supply of at least %s V", consumer, d.id, rules.Figure(rules.RoundUp(need, 0.1)))
	case !w.alone:
		return cable + "take load off the network, or " + consumer
	case from == nil || len(from.feed.SeriesString) != 1 || p.Spec.Batteries[from.feed.Name()] == nil:
		return cable + consumer + ", or have the low-voltage cut-off disconnect the auxiliary battery earlier and raise its min_V to that"
	}
	b := p.Spec.Batteries[from.feed.Name()]
	// What is lost on the way stays the same, or grows less than the voltage.
	raised := rules.RoundUp(b.MinV+need-w.v, 0.1)
	if raised >= from.feed.nominalV {
		return strings.Replace(cable, ", ", ", or ", 1) + consumer
	}
	return fmt.Sprintf("%s%s, or have the low-voltage cut-off disconnect %s earlier and raise its min_V from %s to %s", cable, consumer, b.ID,
		rules.Figure(b.MinV), rules.Figure(raised))
}
