package motor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func phaseVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "phase-voltage-low",
		Family: family,
		Title:  "a phase cable or the motor's winding is rated below the voltage that the controller switches",
		Why: "Between two phases stands the whole voltage of the pack, switched thousands of times a second. Insulation that is rated for less fails at an edge " +
			"of the frame or in the winding's first turn.",
		Relation: "rated_V of the motor, and of the insulation of every cable to it, >= highest working voltage of the controller's supply",
		Source:   "IEC 60034-1 and the data sheet for motors; IEC 60364-5-52, 521.6 for cables",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.phase-voltage-low"},
		Vital:    []string{"motors.rated_V"},
		Fix:      "use a cable or a motor rated for the voltage of the full pack with what regeneration adds",
		Example: rules.Example{Vehicle: "mole", Subject: "motor", Edits: []rules.Edit{
			{Path: "motors.motor.rated_V", Value: "48"}}},
		Check: checkPhaseVoltage,
	}
}

func checkPhaseVoltage(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		d.compareV(c, p, d.ID, d.RatedV, d.Path()+".rated_V")
	})
	eachCable(p, func(c *rules.Check, d drive, id string) {
		if w, ok := p.Spec.Wires[id]; ok {
			d.compareV(c, p, id, w.Insulation.RatedV, w.Path()+".insulation.rated_V")
		} else if b, ok := p.Spec.Busbars[id]; ok {
			d.compareV(c, p, id, b.RatedV, b.Path()+".rated_V")
		}
	})
}

// compareV holds what the controller switches against the rated voltage of a part of
// its motor's side. A cable that states none passes at extra-low voltage.
func (d drive) compareV(c *rules.Check, p *rules.Pass, id string, rated schema.Number, path string) {
	l := demand.For(p)
	pos, _ := p.Circuit.Node(d.by.ID + ".pos")
	v, err := l.WorkingV(c.Working, l.SourcesAt(pos))
	switch {
	case v == 0:
		c.NotChecked("a source for "+d.by.ID, "%s: %s is fed by no source", id, d.by.ID)
		return
	case demand.VoltageUnknown(c, err, !rated.Known || v*p.Required() <= rated.Value, "of "+id):
		return
	case !rated.Known && id != d.ID && v <= calc.ClassALimitV:
		c.Holds(true, "%s: up to %s V between phases, which any insulation withstands", id, rules.Figure(v))
		return
	case !rated.Known:
		c.NotChecked(path, "%s: up to %s V between phases, rated voltage not stated", id, rules.Figure(v))
		return
	}
	limit := c.Given("V_r", "rated voltage of "+id, rated.Value, "V", path)
	c.AtMost(rules.Volts(v), rules.Volts(limit), "%s: up to %s V between phases, rated %s V", id, rules.Figure(v), rules.Figure(limit))
}
