package measurement

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// senseScrewA is the most in A that belongs through a sense screw of a shunt: the
// supply of an instrument (common practice; sense leads have fuses of 0.5 to 1 A).
const senseScrewA = 1

// checkSenseScrews holds what lands on the sense screws of every shunt against what
// they are made for. A shunt of which a power terminal is left empty is among them:
// what belongs there is then often on the screw beside it.
func checkSenseScrews(p *rules.Pass) {
	for id, s := range schema.Sorted(p.Spec.Shunts) {
		if s.Spare {
			continue
		}
		for _, terminal := range []string{id + ".sense_a", id + ".sense_b"} {
			if p.Circuit.Connected(terminal) {
				c := p.Subject(terminal, s.Path())
				if !p.Unsound(c, terminal) {
					checkSenseScrew(c, p, terminal)
				}
			}
		}
	}
}

// checkSenseScrew reports the conductor on a sense screw that carries most.
func checkSenseScrew(c *rules.Check, p *rules.Pass, terminal string) {
	var most demand.Use
	for id, w := range p.Spec.Conductors() {
		if w.Spare || w.From != terminal && w.To != terminal {
			continue
		}
		uses, ok := demand.For(p).Known(c, id, demand.Element{p.Circuit.Edge(id)})
		if !ok {
			return
		}
		if u := demand.Greatest(uses); u.Mode != nil && math.Abs(u.A) > math.Abs(most.A) {
			most = u
		}
	}
	if most.Mode == nil {
		c.Holds(true, "%s: carries no load current", terminal)
		return
	}
	c.In(most.Mode.ID, most.At.String())
	id := most.Edge.ID
	a := c.Solved("I", "greatest current of "+id, math.Abs(most.A), "A", most.At.String())
	limit := c.Standard("I_max", "most through a sense screw: the supply of an instrument", senseScrewA, "A", "common practice")
	c.Related(p.Spec.Conductor(id).Path(), "the conductor on the sense screw")
	c.Fix("connect %s to the power terminal of the shunt on that side", id)
	c.AtMost(rules.Amperes(a), rules.Amperes(limit), "%s: %s carries %s A through the sense screw, made for %s A", terminal, id, rules.Figure(a), rules.Figure(limit))
}
