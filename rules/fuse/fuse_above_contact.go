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
		ID:     "fuse-above-contact",
		Family: family,
		Title:  "a fuse lets more pass than the contacts in series with it carry",
		Why: "A stalled motor, a second lamp on the same wire or a failing converter draws more than any mode of use, and the fuse takes it for load. " +
			"The isolator, contactor or key behind it does not: it runs hot until its springs are soft and its contacts weld or its housing melts, " +
			"and it can then no longer disconnect anything.",
		Relation: "the greatest current that can last through the contacts <= carry_A: the least sum of the ratings of fuses, the limits of converters and " +
			"the greatest currents that consumers are declared to draw, that cuts every loop through them. " +
			"Up to 1.05 times carry_A is no overload. Twice carry_A heats four times as much, which no contact outlives: an error from there on. " +
			"Consumers: a controller's continuous battery-side limit, V/R of resistors and coils, a motor stalled, others at their lowest voltage. " +
			"Partial-range fuses bound no overload. Regeneration and charging are left to the rules of carrying current",
		Source: "overload protection of switches and switching devices by the device in series: IEC 60947-3 and IEC 60364-5-53, 536 (from memory); " +
			"loads that cannot overload: IEC 60364-4-43, 433.3.1; 1.05: what an overload relay must let pass, IEC 60947-4-1 (from memory); the rise goes with the square of the current",
		Level:    rules.Warning,
		Varies:   "error where more than twice what the contacts carry can last",
		Required: 1 / noOverload,
		Fix:      "use contacts that carry the rating of the fuse, or a smaller fuse",
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
		judgeContact(s, c, x, bounds)
	}
}

// contacts of one rating that stand in a circuit.
type contactSet struct {
	id, path, carryPath string
	carry               schema.Number
	edges               []*circuit.Edge
	carryRule           string  // which judges them by the modes of use
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
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		for name, pole := range schema.Sorted(sw.Poles) {
			if path := sw.Path() + ".poles." + name; !sw.Spare {
				add(contactSet{id: id + "." + name, path: path, carryPath: path + ".carry_A", carry: pole.CarryA, carryRule: "pole-carry-low"}, id+"."+name)
			}
		}
	}
	return out
}

func judgeContact(s *supply, c *rules.Check, x contactSet, bounds *circuit.Bounds) {
	if !x.carry.Known {
		c.NotChecked(x.carryPath, "%s states no current that it carries", x.id)
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
		c.Holds(true, "nothing that is declared draws a current through %s", x.id)
		return
	case math.IsInf(most.A, 1):
		c.NotChecked(s.limitOf(most.By), "neither a fuse nor a limit bounds what can flow through %s", x.id)
		return
	case most.Beside && s.Required()*most.A > x.carry.Value:
		c.NotChecked("a single path through "+x.id, "other contacts lie beside %s; how they share up to %s A is not reckoned", x.id, rules.Figure(most.A))
		return
	}
	s.workMostThrough(c.Working, most)
	carry := c.Given("I_c", "current that "+x.id+" carries", x.carry.Value, "A", x.carryPath)
	if most.A > weldsAt*carry {
		c.Level(rules.Error)
	}
	if s.overUsed(x) {
		c.Because(x.carryRule, x.id)
	}
	c.Fix("%s", s.contactRemedy(x, most))
	c.AtMost(rules.Amperes(most.A), rules.Amperes(carry), "%s carries %s A; %s", x.id, rules.Figure(carry), s.sayMost(most))
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

// workMostThrough adds what bounds a current to a working.
func (s *supply) workMostThrough(w *rules.Working, most circuit.Most) {
	var terms []string
	for _, e := range most.By {
		terms = append(terms, rules.Term(s.workPasses(w, e)))
	}
	if len(terms) > 1 {
		w.Calc("I", "what can flow at most", "sum", strings.Join(terms, " + "), most.A, "A")
	}
}

// sayMost describes what bounds a current.
func (s *supply) sayMost(most circuit.Most) string {
	var fuses, rest []string
	for _, e := range most.By {
		if f, ok := s.Spec.Fuses[e.Part]; ok {
			fuses = append(fuses, fmt.Sprintf("the %s A fuse %s", rules.Figure(f.RatedA), e.Part))
		} else {
			rest = append(rest, e.Part)
		}
	}
	switch {
	case len(fuses) == 1 && len(rest) == 0:
		return fuses[0] + " in series with it lets more pass, and what it feeds can draw it"
	case len(fuses) == 0:
		return fmt.Sprintf("what hangs on it can draw %s A", rules.Figure(most.A))
	case len(fuses)+len(rest) > 3:
		return fmt.Sprintf("%d fuses and consumers in series with it let %s A pass", len(fuses)+len(rest), rules.Figure(most.A))
	}
	return fmt.Sprintf("%s together let %s A pass", strings.Join(append(fuses, rest...), ", "), rules.Figure(most.A))
}

// contactRemedy proposes contacts, and a smaller fuse where one rides what it
// carries in use.
func (s *supply) contactRemedy(x contactSet, most circuit.Most) string {
	way := fmt.Sprintf("use contacts for %s that carry %s A or more", x.id, rules.Figure(math.Ceil(most.A*(1-1e-9))))
	if len(most.By) == 1 && most.By[0].Kind == circuit.FuseEdge {
		f := s.Spec.Fuses[most.By[0].Part]
		if down, ok := s.smaller(f, x.carry.Value); ok && down < f.RatedA {
			way += fmt.Sprintf(", or a fuse of %s A at most for %s", rules.Figure(down), f.ID)
		}
	}
	return way
}
