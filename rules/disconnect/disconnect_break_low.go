package disconnect

import (
	"math"
	"slices"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func disconnectBreakLow() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-break-low",
		Family: family,
		Title:  "a disconnect cannot interrupt the current of a mode at its voltage",
		Why: "The disconnect is what a person reaches for when something is on fire: it may be opened under load. " +
			"Beyond its breaking capacity it draws an arc that does not go out, next to the hand on its handle.",
		Relation: "the greatest current of any mode, and the own peak and undeclared regeneration of the controllers behind it, <= the greatest breaking capacity stated at or above the highest working voltage; " +
			"of a polarized one the current from a to b, and reverse_break_A the other way. A rating at a lower voltage does not count",
		Source:   "IEC 60947-3 (breaking capacity at the rated operational voltage); data sheet",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"disconnects.break", "disconnects.reverse_break_A", "batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "use a disconnect with a breaking capacity at the voltage of the full pack",
		Example: rules.Example{Vehicle: "heron", Subject: "isolator", Edits: []rules.Edit{
			{Path: "disconnects.isolator.break", Value: `[{"V": 120, "A": 80, "operations": 50}]`}}},
		Check: check(evalBreak),
	}
}

func evalBreak(c *rules.Check, p *rules.Pass, d device) {
	uses, ok := d.currents(c, p)
	if !ok {
		return
	}
	v, ok := d.workingV(c, p, math.Inf(1))
	if !ok {
		return
	}
	for i, b := range d.Break {
		c.GivenText("break", "breaking capacity", breakText(b), d.field("break")+"."+strconv.Itoa(i))
	}
	limit, index := capacity.Breaks(d.Break, v)
	worst := d.hardest(d.interrupts(p, uses), limit)
	c.In(worst.mode, worst.corner)
	i := worst.explain(c)
	switch {
	case len(d.Break) == 0:
		c.NotChecked(d.field("break"), "%s: %s A to interrupt %s, breaking capacity is not given; fill in the figure of its data sheet at %s V DC or above",
			d.ID, rules.Figure(i), worst.when, rules.Figure(v))
	case worst.reverse && d.ReverseBreakA.Known:
		limit = c.Given("I_r", "reverse breaking capacity, from b to a", d.ReverseBreakA.Value, "A", d.field("reverse_break_A"))
		d.fixReverse(c, p, uses, i)
		c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s: %s A to interrupt from b to a %s, reverse breaking capacity %s A",
			d.ID, rules.Figure(i), worst.when, rules.Figure(limit))
	case worst.reverse && demand.Backwards(uses):
		d.fixReverse(c, p, uses, i)
		c.Fail("%s: connected the wrong way around; the controllers draw %s A from b to a %s, it interrupts only from a to b", d.ID, rules.Figure(i), worst.when)
	case worst.reverse:
		c.NotChecked(d.field("reverse_break_A"), "%s: %s A to interrupt from b to a %s, reverse breaking capacity is not given", d.ID, rules.Figure(i), worst.when)
	case index < 0:
		if d.RatedVdc.Known && d.RatedVdc.Value < v {
			c.Because("disconnect-voltage-low", d.ID)
		}
		c.Fix("ask the maker for the breaking capacity at %s V DC, or use another disconnect", rules.Figure(rules.RoundUp(v, 1)))
		c.Fail("%s: no breaking capacity is given at the %s V of its circuit; those at a lower voltage do not count", d.ID, rules.Figure(v))
	default:
		c.Fix("use a disconnect with a breaking capacity of at least %s A at %s V DC", rules.Figure(rules.RoundUp(p.Required()*i, 1)), rules.Figure(rules.RoundUp(v, 1)))
		c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s: %s A to interrupt at up to %s V %s, breaking capacity %s A",
			d.ID, rules.Figure(i), rules.Figure(v), worst.when, rules.Figure(limit))
	}
}

// fixReverse says what to do about a current from b to a, in A, of a polarized
// disconnect: turned around it would open what the controllers draw against its
// direction, unless they draw that way now.
func (d device) fixReverse(c *rules.Check, p *rules.Pass, uses []demand.Use, i float64) {
	if demand.Backwards(uses) {
		c.Fix("turn %s around, so that the controllers draw from a to b, or use one that is not polarized", d.ID)
		return
	}
	c.Fix("use a disconnect with reverse_break_A of at least %s in place of %s, or one that is not polarized", rules.Figure(rules.RoundUp(p.Required()*i, 1)), d.ID)
}

// interruption is a current that a disconnect may be opened on.
type interruption struct {
	a            float64 // from a to b; against that it is negative
	when         string
	mode, corner string // of a solved current
	edge         string
	path         string // of a controller's own limit
	reverse      bool   // against the direction of a polarized disconnect
}

// interrupts lists what a disconnect may be opened on: the currents of the modes,
// and what the controllers behind it draw and feed back by their own limits, for
// nobody waits for a mode to end before opening it.
func (d device) interrupts(p *rules.Pass, uses []demand.Use) []interruption {
	var out []interruption
	for _, u := range uses {
		out = append(out, interruption{a: u.SignedA(), when: "in mode " + u.Mode.ID, mode: u.Mode.ID, corner: "current with " + u.At.String() + "; voltage at its highest", edge: u.Edge.ID})
	}
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		i := slices.IndexFunc(uses, func(u demand.Use) bool { return d.feeds(p, u, id) })
		if k.Spare || i < 0 {
			continue
		}
		// The way of its draw in a mode tells the way of its peak, and against it goes what it feeds back.
		forth := math.Copysign(1, uses[i].SignedA()*p.Circuit.Solve(uses[i].At).Current(id))
		if k.BatteryPeakA.Known {
			out = append(out, interruption{a: forth * k.BatteryPeakA.Value, when: "at the peak of " + id, path: k.Path() + ".battery_peak_A"})
		}
		if a := demand.UndeclaredRegenA(p.Spec, id); a > 0 {
			out = append(out, interruption{a: -forth * a, when: "while " + id + " brakes", path: k.Path() + ".regen_A"})
		}
	}
	return out
}

// explain adds the current to the working, and returns it without its sign.
func (i interruption) explain(c *rules.Check) float64 {
	if i.path != "" {
		return c.Given("I", "greatest current, "+i.when, math.Abs(i.a), "A", i.path)
	}
	return c.Solved("I", "greatest current of "+i.edge, math.Abs(i.a), "A", i.when+", "+i.corner)
}

// hardest is the current that is the greatest share of its breaking capacity; of equals the first.
func (d device) hardest(list []interruption, forward float64) (worst interruption) {
	worst = list[0]
	var most float64
	for _, i := range list {
		limit := forward
		if i.reverse = d.Polarized && i.a < 0; i.reverse {
			limit = d.ReverseBreakA.Or(0)
		}
		// With no rating at all for a direction any current in it is too much.
		if share := math.Abs(i.a) / math.Max(limit, 1e-9); share > most*(1+1e-9) {
			worst, most = i, share
		}
	}
	return worst
}

func breakText(b schema.BreakRating) string {
	text := rules.Figure(b.A) + " A at " + rules.Figure(b.V) + " V"
	if b.Operations.Known {
		text += ", " + rules.Figure(b.Operations.Value) + " operations"
	}
	return text
}
