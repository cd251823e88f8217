package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

const cutoutContactLowID = "cutout-contact-low"

func cutoutContactLow() *rules.Rule {
	return &rules.Rule{
		ID:     cutoutContactLowID,
		Family: family,
		Title:  "the contact of a thermal cut-out is not rated for the circuit that it opens",
		Why: "A small bimetal opens slowly. On a voltage or current above its rating the arc welds the contact, and the next time it is hot nothing opens: " +
			"a cut-out for 230 V AC is no cut-out at 48 V DC, and where it opens a coil, the coil's clamp comes on top of the supply.",
		Relation: "contact.rated_V_dc >= the highest working voltage of what it opens, and >= V_supply,max + V_clamp of every coil that it opens; contact.break, where it is given, " +
			"at that voltage, and contact.carry_A >= its greatest current in any mode, the pick-up of coils included",
		Source:   "IEC 60730-2-9 (contact ratings, from memory); data sheets; circuit theory; physics of the arc",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"cutouts.contact.rated_V_dc", "cutouts.contact.carry_A"},
		Fix:      "use a cut-out rated for that DC voltage and current, or let it open the coil of a relay",
		Example: rules.Example{Vehicle: "mole", Subject: "motor_cutout", Edits: []rules.Edit{
			{Path: "cutouts.motor_cutout.contact.rated_V_dc", Value: "60"}}},
		Check: checkCutoutContact,
	}
}

// cutout is a thermal cut-out that is wired, as a contact.
type cutout struct {
	*schema.Cutout
	edge *circuit.Edge
}

func (k cutout) field(name string) string { return k.Path() + ".contact." + name }

func checkCutoutContact(p *rules.Pass) {
	for id, x := range schema.Sorted(p.Spec.Cutouts) {
		if x.Spare || !p.Circuit.Connected(id+".a") || !p.Circuit.Connected(id+".b") {
			continue // a free terminal has a finding of its own
		}
		if c := p.Subject(id, x.Path()); !p.Unsound(c, id+".a", id+".b") {
			evalCutoutContact(c, p, cutout{x, p.Circuit.Edge(id)})
		}
	}
}

func evalCutoutContact(c *rules.Check, p *rules.Pass, k cutout) {
	rated := k.Contact.RatedVdc
	v, ok := k.openV(c, p)
	switch {
	case !ok:
		return
	case !rated.Known:
		c.NotChecked(k.field("rated_V_dc"), "%s: DC voltage rating of its contact is not given", k.ID)
		return
	}
	have := c.Given("V_r", "rated voltage of its contact", rated.Value, "V", k.field("rated_V_dc"))
	if v.volts*p.Required() > have {
		c.Fix("use a cut-out rated at least %s V DC, or let it open the coil of a relay", rules.Figure(rules.RoundUp(v.volts*max(p.Required(), v.margin), 1)))
		c.AtMost(rules.Volts(v.volts), rules.Volts(have), "%s: up to %s V %s, contact rated %s V DC", k.ID, rules.Figure(v.volts), v.where, rules.Figure(have))
		return
	}
	uses, ok := demand.For(p).Known(c, k.ID, demand.Element{k.edge})
	if !ok {
		return
	}
	k.evalCurrent(c, p, v.volts, demand.Greatest(uses))
}

// evalCurrent holds the greatest current against what the contact breaks at a voltage in V,
// if that is stated, and what it carries.
func (k cutout) evalCurrent(c *rules.Check, p *rules.Pass, volts float64, most demand.Use) {
	c.In(most.ModeID(), most.At.String())
	i := c.Solved("I", "greatest current of "+k.ID, most.A, "A", "over all modes, "+most.At.String())
	if list := k.Contact.Break; len(list) > 0 {
		breaks, at := capacity.Breaks(list, volts)
		if at < 0 || i*p.Required() > breaks {
			c.Given("I_b", "current that its contact breaks at "+rules.Figure(volts)+" V or more; 0 where none is stated", breaks, "A", k.field("break"))
			c.Fix("use a cut-out that breaks at least %s A at %s V DC, or let it open the coil of a relay", rules.Figure(rules.RoundUp(i*p.Required(), 0.1)), rules.Figure(rules.RoundUp(volts, 1)))
			c.AtMost(rules.Amperes(i), rules.Amperes(breaks), "%s: opens up to %s A at %s V, contact breaks %s A there", k.ID, rules.Figure(i), rules.Figure(volts), rules.Figure(breaks))
			return
		}
	}
	if !k.Contact.CarryA.Known {
		c.NotChecked(k.field("carry_A"), "%s: rated current of its contact is not given", k.ID)
		return
	}
	limit := c.Given("I_r", "rated current of its contact", k.Contact.CarryA.Value, "A", k.field("carry_A"))
	c.Fix("use a cut-out rated at least %s A, or let it open the coil of a relay", rules.Figure(rules.RoundUp(i*p.Required(), 0.1)))
	c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s: up to %s A in the circuit that it opens, contact rated %s A", k.ID, rules.Figure(i), rules.Figure(limit))
}

// opened is the greatest voltage across a contact that opens.
type opened struct {
	volts  float64
	where  string
	margin float64 // what else asks of its rating, as a factor
}

// openV is the greatest voltage across the cut-out when it opens: that of its circuit, and
// of each coil that it opens with its clamp. It reports the check as not made, and is not
// ok, where that is not known and what is known does not exceed the rating.
func (k cutout) openV(c *rules.Check, p *rules.Pass) (most opened, ok bool) {
	v, found, err := demand.SwitchedV(p, c.Working, demand.Element{k.edge})
	if !found {
		demand.NoSource(c, k.ID)
		return most, false
	}
	most = opened{v, "in the circuit that it opens", 1}
	unknown := ""
	for _, d := range devices(p) {
		clamp, clamped := lowest(d.clamps(p))
		if d.timer || !clamped || !d.fedThrough(p, k.edge) {
			continue
		}
		supply, _, failed := d.highestV(p)
		switch {
		case failed != nil:
			c.Unsettled(failed, d.coilID())
			return most, false
		case !clamp.volts.Known:
			unknown = clamp.from
			continue
		}
		if sum := supply + clamp.volts.Value; sum > most.volts {
			c.Solved("V_c", "highest voltage of the coil of "+d.id, supply, "V", "full pack")
			up := clamp.steps(c, p, d, supply)
			c.Calc("V_open", "voltage across "+k.ID+" as it opens that", "V_c + V_clamp", rules.Term(supply)+" + "+rules.Term(up), sum, "V")
			most = opened{sum, "across it when it opens the coil of " + d.id, clampMargin(p)}
		}
	}
	enough := most.volts*p.Required() <= k.Contact.RatedVdc.Or(0)
	if unknown != "" && enough {
		c.NotChecked(unknown, "%s: the clamp voltage of a coil that it opens is not known", k.ID)
		return most, false
	}
	return most, !demand.VoltageUnknown(c, err, enough, "of the circuit of "+k.ID)
}

// fedThrough reports whether a feed of the device's coil passes an edge.
func (d device) fedThrough(p *rules.Pass, e *circuit.Edge) bool {
	for _, f := range d.feeds(p) {
		if f.has(e) {
			return true
		}
	}
	return false
}
