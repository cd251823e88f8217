package measurement

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func shuntReversed() *rules.Rule {
	return &rules.Rule{
		ID:     "shunt-reversed",
		Family: family,
		Title:  "a meter shows charging as discharging",
		Why: "With the shunt, or its two sense leads, reversed a needle without a centre zero stays at its stop, " +
			"and an ampere-hour counter counts up while the pack empties: it shows full when the vehicle stops.",
		Relation: "terminal a of the shunt is on the battery side, and each sense lead of the meter goes to the shunt's terminal of the same name; " +
			"both reversed is right again",
		Source: "circuit theory; the direction follows from which side is connected to a pole of the battery",
		Level:  rules.Warning,
		Fix:    "swap the two conductors at the shunt, or the two sense leads at the meter",
		Example: rules.Example{Vehicle: "heron", Subject: "shunt", Edits: []rules.Edit{
			{Path: "busbars.b_minus_shunt.to", Value: `"shunt.a"`}, {Path: "wires.w_shunt_isolator.from", Value: `"shunt.b"`}}},
		Check: checkShunts(checkDirection),
	}
}

func checkDirection(c *rules.Check, p *rules.Pass, s shunt) {
	where, ok := s.batterySide(p)
	if !ok {
		c.NotChecked("a battery on one side of "+s.ID, "%s: the battery is connected to both of its sides, or to neither", s.ID)
		return
	}
	wrong, read := s.wrongMeters(p, where.b)
	if len(wrong) == 0 && (read || !where.b) {
		c.Holds(true, "%s: terminal %s towards %s, and its sense leads match", s.ID, map[bool]string{false: "a", true: "b"}[where.b], where.of.Name())
		return
	}
	shown := s.shown(c, p, where)
	if where.b {
		c.Fail("%s: terminal b towards %s%s", s.ID, where.of.Name(), shown)
		return
	}
	for _, id := range wrong {
		c.Related("meters."+id, "its sense leads are swapped")
	}
	c.Fail("%s: the sense leads to %s are swapped%s", s.ID, wrong[0], shown)
}

// wrongMeters lists the meters on the shunt that show its current with the wrong
// sign: those with swapped sense leads, or on a reversed shunt those without.
// Read is whether any meter reads it.
func (s shunt) wrongMeters(p *rules.Pass, reversed bool) (wrong []string, read bool) {
	joined := func(a, b circuit.Node) bool {
		return p.Circuit.Reaches(a, b, circuit.Without(circuit.AllClosed, s.edge))
	}
	for id, m := range schema.Sorted(p.Spec.Meters) {
		sense := p.Circuit.Edge(id + ".sense")
		if m.Spare || m.Shunt != s.ID || sense == nil {
			continue
		}
		read = true
		crossed := joined(sense.From, s.edge.To) && joined(sense.To, s.edge.From) && !joined(sense.From, s.edge.From)
		if crossed != reversed {
			wrong = append(wrong, id)
		}
	}
	return wrong, read
}

// shown says what the meter then shows in the mode with the greatest discharge,
// and adds its current to the working; "" where no mode discharges.
func (s shunt) shown(c *rules.Check, p *rules.Pass, where side) string {
	uses, failed := demand.For(p).Uses(s.set())
	if failed != nil || len(uses) == 0 {
		return ""
	}
	out := func(u demand.Use) float64 {
		// Discharge flows out of the positive and into the negative pole.
		if where.b == where.positive {
			return -u.SignedA()
		}
		return u.SignedA()
	}
	worst := slices.MaxFunc(uses, func(a, b demand.Use) int {
		switch x, y := out(a), out(b); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	if out(worst) <= 0 {
		return ""
	}
	c.In(worst.Mode.ID, worst.At.String())
	c.Solved("I", "discharge through "+s.ID, out(worst), "A", "mode "+worst.Mode.ID+", "+worst.At.String())
	return ": in mode " + worst.Mode.ID + " the meter shows " + rules.Figure(out(worst)) + " A of charging while the pack is discharged"
}
