package precharge

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func prechargeMissing() *rules.Rule {
	return &rules.Rule{
		ID:     "precharge-missing",
		Family: family,
		Title:  "nothing charges the controller's capacitors before a contact closes on them",
		Why: "An empty capacitor is a short circuit for a millisecond. Without a resistor around the contact the first turn of the key draws a spark of a thousand amperes: " +
			"contacts weld, fuses age, and the controller's capacitors suffer each time.",
		Relation: "a resistor leads around the contactor (or, without one, the disconnect or switch) that closes on the controller, the controller limits its own inrush " +
			"(internal_precharge), or the first peak of the current, V_max sqrt(C/L) exp(-a t_p), <= make_A of that contact",
		Source:   "circuit theory (step into a series RLC circuit); a pre-charge before motor controllers is common practice",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"controllers.capacitance_uF", "converters.input.capacitance_uF", "batteries.resistance_mOhm",
			"batteries.short_circuit_A",
		},
		Fix: "connect a resistor of role precharge around the contactor, by a relay or permanently, and close the contactor after it; or declare internal_precharge if the controller has its own",
		Example: rules.Example{Vehicle: "mole", Subject: "drive", Edits: []rules.Edit{
			{Path: "wires.w_soft_in"}, {Path: "wires.w_soft_out"}}},
		Check: checkMissing,
	}
}

func checkMissing(p *rules.Pass) {
	contacts := contactsToControllers(p)
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if k.Spare {
			continue
		}
		c := p.Subject(id, k.Path())
		if p.Unsound(c, id+".pos", id+".neg") {
			continue
		}
		switch closing, ok := contacts[id]; {
		case k.InternalPrecharge:
			c.AsDeclared(k.Path()+".internal_precharge", id+" charges its capacitors slowly by itself")
			c.Holds(true, "%s limits the inrush into its own capacitors", id)
		case !ok:
			c.Holds(true, "%s: no contact closes on its empty capacitors", id)
		default:
			evalMissing(c, p, k, closing)
		}
	}
}

// contactsToControllers finds the contact that closes directly on each
// controller: a contactor if there is one, else a disconnect or a switch.
func contactsToControllers(p *rules.Pass) map[string]charging.Closing {
	found := map[string]charging.Closing{}
	for _, kind := range []circuit.Kind{circuit.ContactEdge, circuit.SwitchEdge} {
		for _, e := range p.Circuit.Edges {
			if e.Kind != kind || p.Spec.Part(e.Part).Common().Spare || !touchesController(p, e) {
				continue
			}
			closing := charging.Of(p, e)
			if closing.Resisted {
				continue
			}
			for _, x := range closing.Capacitors {
				if old, ok := found[x.Part]; x.Kind == circuit.ControllerEdge && (!ok || len(old.Resistors(p)) == 0 && old.Contact.Kind == kind) {
					found[x.Part] = closing
				}
			}
		}
	}
	return found
}

// touchesController reports whether a contact belongs to a controller's network.
func touchesController(p *rules.Pass, e *circuit.Edge) bool {
	for id := range p.Spec.Controllers {
		if p.Circuit.SameNetwork(p.Circuit.Edge(id).From, e.From) {
			return true
		}
	}
	return false
}

func evalMissing(c *rules.Check, p *rules.Pass, k *schema.Controller, closing charging.Closing) {
	closes := closing.Contact.Part
	c.Related(p.Spec.Part(closes).Common().Path(), "the contact that closes on it")
	if list := closing.Resistors(p); len(list) > 0 {
		c.Holds(true, "%s charges the capacitors of %s before %s closes", list[0].ID, k.ID, closes)
		return
	}
	if closing.Contact.Kind == circuit.SwitchEdge {
		c.Fix("put a contactor with a pre-charge between %s and %s, or declare internal_precharge if %[2]s has its own", closes, k.ID)
		charging.BecauseBypassed(p, c, p.Circuit.Edge(k.ID).From)
		if other := prechargedNearby(p, k); other != "" {
			c.Fix("feed %s from behind %s, whose pre-charge then charges its capacitors too", k.ID, other)
		}
	}
	if closing.Contact.Kind == circuit.ContactEdge {
		fixMissing(c, p, k.ID, closing)
	}
	inrush, known := inrush(c, p, closing)
	rated, path := capacity.MakeA(p, closing.Contact)
	switch {
	case known && rated.Known:
		limit := c.Given("I_m", "making capacity of "+closes, rated.Value, "A", path)
		c.AtMost(rules.Amperes(inrush), rules.Amperes(limit), "%s closes on the empty capacitors of %s without a pre-charge: inrush %s A, making capacity %s A",
			closes, k.ID, rules.Figure(inrush), rules.Figure(limit))
	case known:
		c.Fail("%s closes on the empty capacitors of %s without a pre-charge: inrush %s A", closes, k.ID, rules.Figure(inrush))
	default:
		c.Fail("%s closes on the empty capacitors of %s without a pre-charge", closes, k.ID)
	}
}

// fixMissing says which pre-charge a contactor lacks, with a resistance that may stay
// across the contact, and otherwise what it closes on instead.
func fixMissing(c *rules.Check, p *rules.Pass, controller string, closing charging.Closing) {
	text, ok := charging.Proposal(p, closing)
	if !ok {
		return // the general advice holds
	}
	c.Fix("%s; or declare internal_precharge if %s has its own", text, controller)
}

// prechargedNearby is a contactor of a controller's network that has a pre-charge;
// "" if there is none.
func prechargedNearby(p *rules.Pass, k *schema.Controller) string {
	for _, a := range charging.Attempts(p) {
		if p.Circuit.SameNetwork(p.Circuit.Edge(a.Contactor.ID+".contact").From, p.Circuit.Edge(k.ID).From) {
			return a.Contactor.ID
		}
	}
	return ""
}

// inrush adds the first current into all that the contact charges to the working, in A.
func inrush(c *rules.Check, p *rules.Pass, closing charging.Closing) (a float64, known bool) {
	closing.Capacitors = slices.DeleteFunc(closing.Capacitors, func(e *circuit.Edge) bool { return charging.LimitsItself(p, e) })
	event, ok := closing.Event(p)
	if !ok || event.Missing != "" {
		return 0, false
	}
	a, err := event.PeakA(p, c.Working)
	return a, err == nil
}
