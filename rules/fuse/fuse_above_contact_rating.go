package fuse

import (
	"fmt"
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func aboveContact() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-above-contact-rating",
		Family: family,
		Title:  "contacts are rated below what the fuse in series with them lets through",
		Why: "A stalled motor, a second lamp on the same wire or a failing converter draws more than any mode, but too little to open the fuse. " +
			"The disconnect, contactor or key behind it overheats until its springs are soft and its contacts weld or its housing melts, " +
			"and can then no longer disconnect anything.",
		Relation: "the greatest continuous current possible through the contacts <= carry_A: the least sum of the ratings of fuses, the limits of converters and " +
			"the greatest currents that consumers are declared to draw, that cuts every loop through them. " +
			"Up to 1.05 times carry_A is no overload. Twice carry_A heats the contacts four times as much, which none withstands: an error from there on. " +
			"Consumers: a controller's continuous battery-side limit, V/R of resistors and coils, the stall current of motors, other loads at their lowest voltage. " +
			"Partial-range fuses limit no overload. Regeneration and charging are checked by the rules on carry current",
		Source: "overload protection of switches and switching devices by the device in series: IEC 60947-3 and IEC 60364-5-53, 536 (from memory); " +
			"loads that cannot overload: IEC 60364-4-43, 433.3.1; 1.05: what an overload relay must carry without tripping, IEC 60947-4-1 (from memory); the temperature rise goes with the square of the current",
		Level:    rules.Warning,
		Varies:   "error above twice the rated current of the contacts",
		Required: 1 / noOverload,
		Vital:    []string{"contactors.contact.carry_A", "relays.contact.carry_A", "timers.contact.carry_A", "disconnects.carry_A", "switches.poles.carry_A"},
		Fix:      "use contacts rated for at least the rating of the fuse, or a smaller fuse",
		Example: rules.Example{Vehicle: "mole", Subject: "pump_switch.pump", Edits: []rules.Edit{
			{Path: "switches.pump_switch.poles.pump.carry_A", Value: "5"}}},
		Check: checkAboveContact,
	}
}

// noOverload is how many times a rated current counts as no overload yet.
const noOverload = 1.05

// weldsAt is how many times its carrying current makes a contact's overload an
// error: its rise, some 65 K at the rated current by IEC 60947-1 (from memory),
// is then 260 K.
const weldsAt = 2

func checkAboveContact(p *rules.Pass) {
	s := newSupply(p)
	bounds := p.Circuit.Bounds(s.passes)
	for _, x := range contacts(p) {
		c := s.Subject(x.id, x.path)
		if s.Unsound(c, s.Circuit.Terminals(x.edges[0].From)[0], s.Circuit.Terminals(x.edges[0].To)[0]) {
			continue
		}
		evalContact(s, c, x, bounds)
	}
}

// contactSet is the contacts of one rating that are wired.
type contactSet struct {
	id, path, carryPath string
	carry               schema.Number
	edges               []*circuit.Edge
	carryRule           string  // which checks them in the modes of use
	tauS                float64 // time constant of their heating in s there; 0 where a short mode counts like a long one
}

// contacts lists all contacts that are wired: of disconnects, contactors,
// relays and switches.
func contacts(p *rules.Pass) []contactSet {
	var out []contactSet
	add := func(x contactSet, ids ...string) {
		for _, id := range ids {
			e := p.Circuit.Edge(id)
			if e != nil && e.From != e.To && len(p.Circuit.EdgesAt(e.From)) > 1 && len(p.Circuit.EdgesAt(e.To)) > 1 {
				x.edges = append(x.edges, e)
			}
		}
		if len(x.edges) > 0 {
			out = append(out, x)
		}
	}
	for id, d := range schema.Sorted(p.Spec.Disconnects) {
		if !d.Spare {
			add(contactSet{id: id, path: d.Path(), carryPath: d.Path() + ".carry_A", carry: d.CarryA, carryRule: "disconnect-carry-low", tauS: 600}, id, id+".2")
		}
	}
	for id, k := range schema.Sorted(p.Spec.Contactors) {
		if !k.Spare {
			add(contactSet{id: id, path: k.Path(), carryPath: k.Path() + ".contact.carry_A", carry: k.Contact.CarryA, carryRule: "contactor-carry-low", tauS: 600}, id+".contact")
		}
	}
	for id, r := range schema.Sorted(p.Spec.Relays) {
		if !r.Spare {
			add(contactSet{id: id, path: r.Path(), carryPath: r.Path() + ".contact.carry_A", carry: r.Contact.CarryA, carryRule: "contactor-carry-low", tauS: 120}, id+".no", id+".nc")
		}
	}
	for id, t := range schema.Sorted(p.Spec.Timers) {
		if !t.Spare {
			add(contactSet{id: id, path: t.Path(), carryPath: t.Path() + ".contact.carry_A", carry: t.Contact.CarryA, carryRule: "contactor-carry-low", tauS: 120}, id+".no")
		}
	}
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		for name, pole := range schema.Sorted(sw.Poles) {
			if path := sw.Path() + ".poles." + name; !sw.Spare {
				add(contactSet{id: id + "." + name, path: path, carryPath: path + ".carry_A", carry: pole.CarryA, carryRule: "pole-carry-low"}, id+"."+name)
			}
		}
	}
	return out
}

func evalContact(s *supply, c *rules.Check, x contactSet, bounds *circuit.Bounds) {
	if !x.carry.Known {
		c.NotChecked(x.carryPath, "%s: its rated current is not declared", x.id)
		return
	}
	if demand.For(s.Pass).InPhase(c, x.id, x.edges) {
		return
	}
	var most circuit.Most
	for _, e := range x.edges {
		if m := bounds.Through(e); m.A > most.A {
			most = m
		}
	}
	switch {
	case most.A == 0:
		c.Holds(true, "%s carries no current that is declared", x.id)
		return
	case math.IsInf(most.A, 1):
		c.NotChecked(s.limitOf(most.By), "%s: neither a fuse nor a declared limit limits its current", x.id)
		return
	case most.Beside && s.Required()*most.A > x.carry.Value:
		c.NotChecked("a single path through "+x.id, "%s has other contacts in parallel; how they share up to %s A is not computed", x.id, rules.Figure(most.A))
		return
	}
	s.explainMostThrough(c.Working, most)
	carry := c.Given("I_c", "rated current of "+x.id, x.carry.Value, "A", x.carryPath)
	if most.A > weldsAt*carry {
		c.Level(rules.Error)
	}
	if s.overUsed(x) {
		c.Because(x.carryRule, x.id)
	}
	c.Fix("%s", s.contactRemedy(x, most))
	c.AtMost(rules.Amperes(most.A), rules.Amperes(carry), "%s: up to %s A, rated %s A; limited only by %s", x.id, rules.Figure(most.A), rules.Figure(carry), s.sayMost(most))
}

// overUsed reports whether the contacts carry too much in use already, which is
// the graver finding: a switch in any mode, the others for long.
func (s *supply) overUsed(x contactSet) bool {
	uses, failed := demand.For(s.Pass).Uses(x.edges)
	if failed != nil || len(uses) == 0 {
		return false
	}
	if x.tauS == 0 {
		return demand.Greatest(uses).A > x.carry.Value
	}
	duty, ok := demand.Hottest(s.Spec, uses, x.tauS)
	return ok && duty.EqA > x.carry.Value
}

// explainMostThrough adds what limits a current to a working.
func (s *supply) explainMostThrough(w *rules.Working, most circuit.Most) {
	var terms []string
	for _, e := range most.By {
		terms = append(terms, rules.Term(s.explainPasses(w, e)))
	}
	if len(terms) > 1 {
		w.Calc("I", "greatest continuous current possible", "sum", strings.Join(terms, " + "), most.A, "A")
	}
}

// sayMost names what limits a current, each part once with its amperes.
func (s *supply) sayMost(most circuit.Most) string {
	var fuses, rest []string
	amperes := map[string]float64{}
	for _, e := range most.By {
		if f := s.fuseOf(e.Part); f != nil {
			fuses = append(fuses, fmt.Sprintf("the %s A %s %s", rules.Figure(f.RatedA), noun(f), e.Part))
			continue
		}
		if _, named := amperes[e.Part]; !named {
			rest = append(rest, e.Part)
		}
		amperes[e.Part] += s.explainPasses(s.Subject(e.ID, "").Working, e)
	}
	if n := len(fuses) + len(rest); n > 3 {
		return fmt.Sprintf("%d fuses and parts in series with it", n)
	}
	for i, id := range rest {
		rest[i] = fmt.Sprintf("%s (%s A)", id, rules.Figure(amperes[id]))
	}
	return rules.And(append(fuses, rest...))
}

// contactRemedy proposes contacts, and a smaller fuse where one withstands what
// it carries in use.
func (s *supply) contactRemedy(x contactSet, most circuit.Most) string {
	way := fmt.Sprintf("use contacts rated at least %s A for %s", rules.Figure(rules.RoundUp(most.A, 1)), x.id)
	if len(most.By) == 1 && most.By[0].Kind == circuit.FuseEdge {
		f := s.Spec.Fuses[most.By[0].Part]
		if down, ok := s.smaller(f, x.carry.Value); ok && down < f.RatedA {
			way += fmt.Sprintf(", or a fuse of at most %s A for %s", rules.Figure(down), f.ID)
		}
	}
	return way
}
