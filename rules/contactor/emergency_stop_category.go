package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func emergencyStopCategory() *rules.Rule {
	return &rules.Rule{
		ID:     "emergency-stop-category",
		Family: family,
		Title:  "an emergency stop does not stop in the way that is declared of it",
		Why: "Category 1 brakes first and removes the power then: it needs something that keeps the contactor closed for that time, and an enable input that falls at once. " +
			"Wired as category 0 it cuts off the electric brake in the moment in which somebody needs it. Category 2 leaves the power on, and is no emergency stop.",
		Relation: "category 2 is not for emergencies; category 0: the stop opens the contactor at once, with no off-delay timer in the feed of its coil; " +
			"category 1: such a timer keeps the contactor closed, and the stop itself opens the enable input of the controllers behind it",
		Source: "IEC 60204-1, 9.2 and ISO 13850 (stop categories; from memory)",
		Level:  rules.Error,
		Varies: "warning where the stop removes the power, but not in the declared way",
		Fix:    "declare the stop_category that the circuit has",
		Example: rules.Example{Vehicle: "heron", Subject: "stop", Edits: []rules.Edit{
			{Path: "switches.stop.stop_category", Value: "2"}}},
		Check: checkStopCategory,
	}
}

func checkStopCategory(p *rules.Pass) {
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		if sw.Role != "emergency-stop" || sw.Spare {
			continue
		}
		c := p.Subject(id, sw.Path())
		if !sw.StopCategory.Known {
			c.Holds(true, "%s: no stop category is declared that it could miss", id)
			continue
		}
		c.Given("category", "declared stop category of "+id, sw.StopCategory.Value, "", sw.Path()+".stop_category")
		switch sw.StopCategory.Value {
		case 0:
			evalStopAtOnce(c, p, id)
		case 1:
			evalStopBraked(c, p, id)
		default:
			c.Fix("let %s remove the power: through the feed of the contactor's coil (category 0), or with a delay for braking (category 1)", id)
			c.Fail("%s: stop category 2 leaves the power on, which is not for emergencies", id)
		}
	}
}

// evalStopAtOnce checks that nothing holds a contactor closed that the stop opens.
func evalStopAtOnce(c *rules.Check, p *rules.Pass, id string) {
	in, _ := newCutoff(p, "emergency-stop", false)
	now := justOpened(p)
	for _, d := range drives(p) {
		if in.off[d.id] && !now.off[d.id] {
			c.Level(rules.Warning).Fix("take the off-delay timer out of the feed of %s, or declare stop_category: 1", d.id)
			c.Fail("%s: declared as stop category 0, but an off-delay timer keeps %s closed for a time", id, d.id)
			return
		}
	}
	c.Holds(true, "%s: nothing delays the opening of what it opens", id)
}

// evalStopBraked checks that the power outlasts the stop, and that the controllers are
// told to brake at once.
func evalStopBraked(c *rules.Check, p *rules.Pass, id string) {
	now := justOpened(p)
	for _, d := range drives(p) {
		if now.off[d.id] || now.cutsAll(d.ids) {
			c.Level(rules.Warning).Fix("put an off-delay timer into the feed of the coil of %s, or declare stop_category: 0", d.id)
			c.Fail("%s: declared as stop category 1, but it opens %s at once, and electric braking ends with that", id, d.id)
			return
		}
		for _, k := range d.ids {
			enable := p.Circuit.Edge(k + ".enable")
			if !p.Circuit.Connected(k+".enable") || enable == nil {
				c.NotChecked("a conductor on "+k+".enable", "%s: what tells %s to brake while %s is still closed is not drawn", id, k, d.id)
				return
			}
			if now.path(enable) != nil {
				c.Fix("lead the enable input of %s through a pole of %s", k, id)
				c.Fail("%s: declared as stop category 1, but the enable input of %s stays up: nothing tells it to brake until %s opens", id, k, d.id)
				return
			}
		}
	}
	c.Holds(true, "%s: the controllers lose their enable input at once, and their supply after a delay", id)
}

// justOpened is the moment after the emergency stop was hit: what opens with a delay is
// still closed.
func justOpened(p *rules.Pass) *cutoff {
	c, _ := openedBy(p, "emergency-stop", &cutoff{p: p, atOnce: true})
	return c
}
