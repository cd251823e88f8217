package precharge

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func capacitorsRingHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "capacitors-ring-high",
		Family: family,
		Title:  "input capacitors swing above what the parts on them withstand when a contact closes",
		Why: "Cables are an inductance. A contact that closes on empty film or ceramic capacitors lets them swing to nearly twice the voltage of the battery: " +
			"the converter that is rated for 110 V sees 140 V at every start, until one day it fails.",
		Relation: "V + dV exp(-pi zeta / sqrt(1 - zeta^2)) <= the lowest max_V of what is on the same terminals, with zeta = R/2 sqrt(C/L); dV is what the capacitors lack when " +
			"the contact closes, V without a pre-charge, R that of the loop with esr_mOhm, L 2 uH per metre of the pair and 1 uH; " +
			"with r = esr_mOhm / R of it at the capacitors' terminals, V + dV sqrt(1 - 4 r (1 - r) zeta^2) exp(-a t_p)",
		Source:   "circuit theory (step into a series RLC circuit); the inductances are the most of common practice",
		Level:    rules.Warning,
		Varies:   "error above 1.1 times",
		Required: 1,
		Fix:      "use a converter with electrolytic capacitors at its input, or add one of at least four times their capacitance, pre-charge it, or keep its loop short",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "converters.converter.input.esr_mOhm", Value: "3"}}},
		Check: checkRing,
	}
}

func checkRing(p *rules.Pass) {
	for _, e := range p.Circuit.Edges {
		if e.Kind != circuit.ControllerEdge && e.Kind != circuit.ConverterInput || p.Spec.Part(e.Part).Common().Spare {
			continue
		}
		c := p.Subject(e.Part, p.Spec.Part(e.Part).Common().Path())
		ends := p.Circuit.Terminals(e.From)
		if len(ends) == 0 || p.Unsound(c, ends[0]) {
			continue
		}
		if charging.LimitsItself(p, e) {
			c.Holds(true, "%s limits the inrush into its own capacitors", e.Part)
			continue
		}
		evalRing(c, p, e)
	}
}

func evalRing(c *rules.Check, p *rules.Pass, e *circuit.Edge) {
	loop, fed := p.Circuit.LoopTo(e, nil)
	if !fed || len(loop.Contacts) == 0 {
		c.Holds(true, "no contact closes on the capacitors of %s", e.Part)
		return
	}
	uF, path := charging.Capacitance(p, e)
	if !uF.Known || uF.Value == 0 {
		c.NotChecked(path, "the capacitance of %s is not known", e.Part)
		return
	}
	if restless(c, p, loop) {
		return
	}
	event := charging.Onto(p, loop, e)
	contact, left, trouble := lacks(c, p, e, loop)
	if unknown(c, trouble) {
		return
	}
	if contact == "" {
		c.Holds(true, "%s: no contact closes on its empty capacitors but through a resistor", e.Part)
		return
	}
	event.LeftV = left
	peak, err := event.Ring(p, c.Working)
	if err != nil {
		c.NotChecked("the resistance of the loop to "+e.Part, "how far the capacitors of %s swing depends on the resistance of its loop", e.Part)
		return
	}
	who, limit, at := weakest(p, e)
	c.Given("V_max", "highest voltage of "+who, limit, "V", at)
	esr := event.Terms[0]
	if peak > limit && !esr.ESR.Known {
		c.NotChecked(esr.ESRAt, "%s: swings to as much as %s V of %s V when %s closes, if its capacitors have no series resistance; fill in esr_mOhm", e.Part, rules.Figure(peak), rules.Figure(limit), contact)
		return
	}
	if peak > 1.1*limit {
		c.Level(rules.Error)
	}
	c.Related(p.Spec.Part(contact).Common().Path(), "the contact that closes on it")
	c.AtMost(rules.Volts(peak), rules.Volts(limit), "%s: its capacitors swing to %s V when %s closes, %s withstands %s V", e.Part, rules.Figure(peak), contact, who, rules.Figure(limit))
}

// restless reports the check as not made, and true, where a contact of a loop finds no
// rest in one of the vehicle's states.
func restless(c *rules.Check, p *rules.Pass, loop circuit.Loop) bool {
	var edges []string
	for _, x := range loop.Contacts {
		edges = append(edges, x.ID, x.Part+".coil")
	}
	return slices.ContainsFunc(p.Circuit.States(), func(mode string) bool {
		s := p.Circuit.Solve(circuit.Case{Mode: mode})
		return s.Restless(edges...) && c.Unsettled(s, edges...)
	})
}

// lacks finds the contact that closes on the capacitors of a part with most of their
// voltage missing, "" if all do so through a resistor: what they lack in V then, not known
// where that is all.
func lacks(c *rules.Check, p *rules.Pass, e *circuit.Edge, loop circuit.Loop) (contact string, left schema.Number, trouble *charging.Problem) {
	for _, x := range loop.Contacts {
		closing := charging.Of(p, x)
		if closing.Resisted || !slices.Contains(closing.Capacitors, e) {
			continue
		}
		a, precharged := charging.AttemptOf(p, closing)
		switch {
		case !precharged && len(closing.Resistors(p)) == 0:
			return x.Part, schema.Number{}, nil
		case !precharged, a.Idle():
			continue
		case !a.Supplied():
			return "", left, &charging.Problem{Missing: "a supply for " + x.Part, Message: "pre-charge of " + x.Part + ": no mode feeds it and the contactor's coil"}
		}
		v, ok := full(c, p, a)
		if !ok {
			continue
		}
		one, trouble := a.ExplainLeft(p, c.Working, v)
		if trouble != nil {
			return "", left, trouble
		}
		if contact == "" || one > left.Value {
			contact, left = x.Part, schema.Some(one)
		}
	}
	return contact, left, nil
}

// weakest is the part with the lowest greatest voltage of those that conductors join to
// both terminals of a part, itself included. Further away the loop's inductance keeps
// the swing off.
func weakest(p *rules.Pass, e *circuit.Edge) (id string, volts float64, path string) {
	volts = math.Inf(1)
	pos, neg := p.Circuit.NextTo(e.From), p.Circuit.NextTo(e.To)
	take := func(x *circuit.Edge, v schema.Number, at string) {
		if v.Known && v.Value < volts && slices.Contains(pos, x.From) && slices.Contains(neg, x.To) {
			id, volts, path = x.Part, v.Value, at
		}
	}
	for _, x := range p.Circuit.Edges {
		switch part := p.Spec.Part(x.Part).(type) {
		case *schema.Controller:
			if x.Kind == circuit.ControllerEdge {
				take(x, schema.Some(part.MaxV), part.Path()+".max_V")
			}
		case *schema.Converter:
			if x.Kind == circuit.ConverterInput {
				take(x, schema.Some(part.Input.MaxV), part.Path()+".input.max_V")
			}
		case *schema.Load:
			take(x, part.MaxV, part.Path()+".max_V")
		}
	}
	return id, volts, path
}
