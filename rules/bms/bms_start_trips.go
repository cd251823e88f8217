package bms

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func startTrips() *rules.Rule {
	return &rules.Rule{
		ID:     "bms-start-trips",
		Family: family,
		Title:  "a pack takes the empty capacitors behind it for a short circuit and switches off",
		Why: "The pack wakes up onto a bus with capacitors, or the disconnect is closed on them. The transistors see hundreds of amperes for some dozen microseconds and do what " +
			"they are made for. The vehicle cannot be switched on, at random or never, and each attempt strains the transistors.",
		Relation: "with every contactor open, the first peak of the current into the capacitors behind the pack < short_trip_A, or it is above that for less than short_trip_us, with the " +
			"inductance of the range for its loop with which it lasts longest; or they are no more than its own pre-charge takes (precharge.uF_max); or a pre-charge outside lies before them. " +
			"Where short_trip_us is not stated the peak alone decides",
		Source:   "circuit theory (step into a series RLC circuit); data sheet of the battery management system",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.bms-start-trips"},
		Vital: []string{"batteries.bms.short_trip_A", "controllers.capacitance_uF", "converters.input.capacitance_uF", "batteries.resistance_mOhm",
			"batteries.short_circuit_A"},
		Fix: "put a contactor with a pre-charge before the capacitors, or use a pack whose own pre-charge suits them",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.bms.short_trip_A", Value: "150"}, {Path: "batteries.pack.bms.short_trip_us", Value: "10"}}},
		Check: checkStart,
	}
}

func checkStart(p *rules.Pass) {
	each(p, func(c *rules.Check, b *schema.Battery) {
		v, ok := behind(p, b)
		switch {
		case !ok:
			c.Holds(true, "%s: all capacitors are behind contactors", b.ID)
		case v.Missing != "":
			c.NotChecked(v.Missing, "%s starts onto the capacitors of %s; the capacitance is not given", b.ID, v.What)
		case b.BMS.Precharge != nil && 1e6*v.Farad <= b.BMS.Precharge.UFMax:
			c.Holds(true, "%s charges the %s uF of %s by its own pre-charge", b.ID, rules.Figure(1e6*v.Farad), v.What)
		case !b.BMS.ShortTripA.Known:
			c.NotChecked(field(b, "short_trip_A"), "%s starts onto the capacitors of %s; the current at which its switch trips is not given", b.ID, v.What)
		default:
			evalStart(c, p, b, v)
		}
	})
}

// behind is the event in which a battery is put onto what no contactor keeps from it.
func behind(p *rules.Pass, b *schema.Battery) (charging.Event, bool) {
	closing := charging.Closing{Contact: p.Circuit.Edge(b.ID)}
	var open []string
	for _, e := range p.Circuit.Edges {
		if e.Kind == circuit.ContactEdge {
			open = append(open, e.ID)
		}
	}
	closing.Open = strings.Join(open, " ")
	hand := func(e *circuit.Edge) bool { return e.Kind != circuit.ContactEdge }
	for _, e := range p.Circuit.Edges {
		if e.Kind != circuit.ControllerEdge && e.Kind != circuit.ConverterInput || p.Spec.Part(e.Part).Common().Spare || charging.LimitsItself(p, e) {
			continue
		}
		if l, ok := p.Circuit.LoopTo(e, hand); ok && feeds(l, b.ID) {
			closing.Capacitors = append(closing.Capacitors, e)
		}
	}
	if len(closing.Capacitors) == 0 {
		return charging.Event{}, false
	}
	return closing.Event(p)
}

func evalStart(c *rules.Check, p *rules.Pass, b *schema.Battery, v charging.Event) {
	peak, ok := v.Inrush(c, p)
	if !ok {
		return
	}
	trip := c.Given("I_t", "current at which its switch trips", b.BMS.ShortTripA.Value, "A", field(b, "short_trip_A"))
	if !b.BMS.ShortTripUs.Known || p.Required()*peak <= trip {
		because(c, p, v, peak >= trip)
		c.Below(rules.Amperes(peak), rules.Amperes(trip), "%s: %s A into the capacitors of %s when it is switched on, its switch trips at %s A", b.ID,
			rules.Figure(peak), v.What, rules.Figure(trip))
		return
	}
	lasts, err := v.AboveUS(c, p, trip/p.Required())
	if err != nil {
		c.NotChecked(v.Terms[0].Path, "the inrush into the capacitors of %s cannot be computed: %v", v.What, err)
		return
	}
	delay := c.Given("t_t", "time that this takes", b.BMS.ShortTripUs.Value, "us", field(b, "short_trip_us"))
	because(c, p, v, lasts >= delay)
	c.Below(rules.Quantity{Value: lasts, Unit: "us"}, rules.Quantity{Value: delay, Unit: "us"},
		"%s: %s A into the capacitors of %s when it is switched on, above %s A for %s us; its switch trips on that after %s us", b.ID,
		rules.Figure(peak), v.What, rules.Figure(trip), rules.Figure(lasts), rules.Figure(delay))
}

// because names what bypasses the contact before the capacitors as the cause.
func because(c *rules.Check, p *rules.Pass, v charging.Event, trips bool) {
	if trips {
		charging.BecauseBypassed(p, c, p.Circuit.Edge(v.Terms[0].Part+inputOf(p, v.Terms[0].Part)).From)
	}
}

// inputOf is what the id of a part's edge with capacitors ends on after its own id.
func inputOf(p *rules.Pass, part string) string {
	if p.Spec.Converters[part] != nil {
		return ".in"
	}
	return ""
}
