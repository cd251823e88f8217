package disconnect

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func disconnectMakeLow() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-make-low",
		Family: family,
		Title:  "a disconnect closes on empty capacitors",
		Why: "A controller's capacitors draw a thousand amperes in the first millisecond. A disconnect that closes on them, because no contactor " +
			"is between or because the contactor has closed already, sprays metal at the hand on it and welds.",
		Relation: "V sqrt(C/L) exp(-a t_p), the first peak into the capacitors of the controllers that closed contacts and conductors connect to the disconnect, <= make_A; " +
			"a contactor counts as closed where its coil is fed while the disconnect is still open (the key left on). " +
			"Of packs in parallel this disconnect counts as the first to be closed: on a live bus only the difference of the packs flows, battery-parallel-inrush. " +
			"The capacitors of converters are another rule's, converter-inrush-high",
		Source:   "circuit theory (step into a series RLC circuit); 1 uH per metre of a pair of cables is common practice",
		Level:    rules.Error,
		Varies:   "warning where a contactor that the key closes first is between",
		Required: 1,
		Vital: []string{
			"disconnects.make_A", "controllers.capacitance_uF", "converters.input.capacitance_uF", "batteries.resistance_mOhm",
			"batteries.short_circuit_A",
		},
		Fix: "put a contactor with a pre-charge between, its coil fed from behind the disconnect, or use a disconnect rated for the inrush",
		Example: rules.Example{Vehicle: "heron", Subject: "isolator", Edits: []rules.Edit{
			{Path: "disconnects.isolator.make_A", Value: "600"},
			{Path: "busbars.b_plus_contactor.to", Value: `"main_contactor.b"`}}},
		Check: check(evalMake),
	}
}

// onto is the capacitors that a disconnect closes on.
type onto struct {
	controller *schema.Controller
	loop       circuit.Loop
	first      []*circuit.Edge // contacts of packs in parallel, open until then
	mode       string          // in which a contactor between has closed already; "" if there is none
}

func evalMake(c *rules.Check, p *rules.Pass, d device) {
	found, failed := d.closesOn(p)
	switch {
	case failed != nil:
		c.Unsettled(failed, failed.Alternating()...)
	case found == nil && d.onLiveBus(p, d.largest(p, everything, everything)):
		c.Holds(true, "%s closes on a bus that another pack keeps live: no capacitors are charged through it", d.ID)
	case found == nil:
		c.Holds(true, "%s closes on no controller's capacitors: a contactor, or a pre-charge, is between", d.ID)
	case !found.controller.CapacitanceUF.Known:
		c.NotChecked(found.controller.Path()+".capacitance_uF", "%s closes on the capacitors of %s, whose capacitance is not given", d.ID, found.controller.ID)
	default:
		d.reportMake(c, p, found)
	}
}

func (d device) reportMake(c *rules.Check, p *rules.Pass, on *onto) {
	k := on.controller
	first := ""
	if names := parts(on.first); names != "" {
		first = "; closed before " + names
		c.SolvedText("state", "before it closes", "capacitors of "+k.ID+" empty, "+names+" still open",
			"the worst that is credible of packs in parallel: once one is connected the bus is live")
	}
	peak, ok := charging.Onto(p, on.loop, p.Circuit.Edge(k.ID)).Inrush(c, p)
	if !ok {
		return
	}
	if !d.MakeA.Known {
		c.NotChecked(d.field("make_A"), "%s: closes on %s A into the capacitors of %s, making capacity is not given; fill in make_A from its data sheet",
			d.ID, rules.Figure(peak), k.ID)
		return
	}
	limit := c.Given("I_m", "making capacity of "+d.ID, d.MakeA.Value, "A", d.field("make_A"))
	when := ""
	if on.mode != "" {
		when = "; with the contactor closed already, as with everything else of mode " + on.mode + " switched on"
		c.Level(rules.Warning).In(on.mode, "disconnect closed last")
	}
	c.Related(k.Path(), "its capacitors")
	if on.mode == "" && peak > limit {
		charging.BecauseBypassed(p, c, p.Circuit.Edge(k.ID).From)
	}
	c.Fix("put a contactor with a pre-charge between, its coil fed from behind %s, or use a disconnect with make_A of at least %s", d.ID, rules.Figure(rules.RoundUp(p.Required()*peak, 1)))
	c.AtMost(rules.Amperes(peak), rules.Amperes(limit), "%s: closes on %s A into the capacitors of %s, making capacity %s A%s%s",
		d.ID, rules.Figure(peak), k.ID, rules.Figure(limit), first, when)
}

// parts names the parts of some contacts.
func parts(edges []*circuit.Edge) string {
	var ids []string
	for _, e := range edges {
		ids = append(ids, e.Part)
	}
	slices.Sort(ids)
	return rules.And(slices.Compact(ids))
}

// onLiveBus reports whether the disconnect connects a pack to a controller that
// others feed whether it is closed or not.
func (d device) onLiveBus(p *rules.Pass, behind *onto) bool {
	if behind != nil {
		return false
	}
	but := func(e *circuit.Edge) bool { return !d.poles.Has(e) }
	for id := range schema.Sorted(p.Spec.Controllers) {
		all, _ := p.Circuit.LoopTo(p.Circuit.Edge(id), nil)
		if others, fed := p.Circuit.LoopTo(p.Circuit.Edge(id), but); fed && len(others.Strings) < len(all.Strings) {
			return true
		}
	}
	return false
}

// closesOn finds the controller whose empty capacitors the disconnect closes
// on, first one without any contactor between, then one behind a contactor that
// is closed already.
func (d device) closesOn(p *rules.Pass) (found *onto, failed *circuit.Solution) {
	if d.precharged(p) {
		return nil, nil
	}
	if found = d.largest(p, onHand, byHand); found != nil {
		return found, nil
	}
	behind := d.largest(p, everything, everything)
	if behind == nil {
		return nil, nil // not even with every contactor closed
	}
	first := slices.DeleteFunc(behind.first, func(e *circuit.Edge) bool { return !byHand(e) })
	open := strings.Join(append(d.poles.IDs(), demand.Element(first).IDs()...), " ")
	tried := map[string]bool{}
	for _, mode := range p.Circuit.States() {
		// Modes that switch the same by hand need only be tried once.
		closed := slices.Sorted(slices.Values(p.Circuit.Mode(mode).Closed))
		if key := strings.Join(closed, " "); tried[key] || !slices.Contains(closed, d.ID) {
			continue
		} else {
			tried[key] = true
		}
		k := demand.Full(mode)
		k.Open, k.Start, k.NoDraw, k.NoChargers = open, circuit.FromOpen, true, true
		s := p.Circuit.Solve(k)
		if s.Failed != "" {
			return nil, s
		}
		found = d.behindClosed(p, s.Held(false))
		if len(s.Alternating()) > 0 && !d.behindClosed(p, s.Held(true)).same(found) {
			return nil, s
		}
		if found != nil {
			found.mode, found.first = mode, append(first, found.first...)
			return found, nil
		}
	}
	return nil, nil
}

// behindClosed is the largest behind what is closed in a solution.
func (d device) behindClosed(p *rules.Pass, s *circuit.Solution) *onto {
	already := func(e *circuit.Edge) bool {
		return e.Kind != circuit.ContactEdge && e.Kind != circuit.SwitchEdge || d.poles.Has(e) || s.Closed(e.ID)
	}
	return d.largest(p, already, byHand)
}

// same reports whether a disconnect closes on the same in either.
func (o *onto) same(other *onto) bool {
	return o == other || o != nil && other != nil && o.controller == other.controller && o.loop.Ohm == other.loop.Ohm
}

// everything, onHand and byHand are filters: what leads with every contactor
// closed, with every contactor open, and what a hand opens.
func everything(*circuit.Edge) bool { return true }

func onHand(e *circuit.Edge) bool { return e.Kind != circuit.ContactEdge }

func byHand(e *circuit.Edge) bool { return e.Kind == circuit.SwitchEdge }

// largest is the controller with the most capacitance of those that the
// disconnect puts on a battery over what the filter lets pass, while the packs
// in parallel with its own are still cut off by contacts that may be open; unknown counts most.
func (d device) largest(p *rules.Pass, pass, may func(*circuit.Edge) bool) *onto {
	var best *onto
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if k.Spare || k.InternalPrecharge {
			continue
		}
		first, ok := p.Circuit.BlockingContacts(p.Circuit.Edge(id), d.poles.Has, may, pass)
		if !ok {
			continue
		}
		loop, _ := p.Circuit.LoopTo(p.Circuit.Edge(id), func(e *circuit.Edge) bool { return pass(e) && !slices.Contains(first, e) })
		if best == nil || best.controller.CapacitanceUF.Known && (!k.CapacitanceUF.Known || k.CapacitanceUF.Value > best.controller.CapacitanceUF.Value) {
			best = &onto{controller: k, loop: loop, first: first}
		}
	}
	return best
}

// precharged reports whether a pre-charge resistor leads around one of the poles.
func (d device) precharged(p *rules.Pass) bool {
	for _, e := range d.poles {
		for _, x := range p.Circuit.Bypass(e.ID) {
			if r, ok := p.Spec.Resistors[x.Part]; ok && r.Role == "precharge" {
				return true
			}
		}
	}
	return false
}
