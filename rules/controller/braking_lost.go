package controller

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func brakingLost() *rules.Rule {
	return &rules.Rule{
		ID:     "braking-lost",
		Family: family,
		Title:  "what opens while the motor brakes takes the only brake away",
		Why: "Regeneration needs the battery. The emergency stop, the key, a blown fuse or a pack that cuts itself off ends it in the middle of the hill, " +
			"and it ends too when the pack is full. Without a brake of another kind nothing then holds the vehicle.",
		Relation: "where a contact, a pole or a fuse can cut a controller that feeds back off from its battery, the vehicle has a mechanical brake",
		Source:   "IEC 60204-1, 9.2 (stop category 0 removes the power, and with it electric braking; from memory); circuit theory",
		Level:    rules.Error,
		Fix:      "fit a brake that works without electricity, and state it as vehicle.mechanical_brake",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "vehicle.mechanical_brake", Value: "false"}}},
		Check: checkBrakingLost,
	}
}

func checkBrakingLost(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		a, path := capacity.Regeneration(p.Spec, d.Controller)
		if a == 0 {
			c.Holds(true, "%s does not brake", d.ID)
			return
		}
		by, mode, failed := opens(p, d)
		switch brake := p.Spec.Vehicle.MechanicalBrake; {
		case failed != nil:
			c.Unsettled(failed, failed.Alternating()...)
		case by == "":
			c.Holds(true, "nothing that opens cuts %s off from its battery while it brakes", d.ID)
		case brake == nil:
			c.NotChecked("vehicle.mechanical_brake", "%s: when %s opens in mode %s its regeneration of %s A ends; whether the vehicle has a mechanical brake is not stated",
				d.ID, by, mode, rules.Figure(a))
		case *brake:
			c.AsDeclared("vehicle.mechanical_brake", "a brake that needs no electricity stops the vehicle from any speed")
			c.Holds(true, "%s: a mechanical brake remains when %s opens", d.ID, by)
		default:
			c.In(mode, "")
			c.Given("I_regen", "current fed back by "+d.ID, a, "A", path)
			c.Related("vehicle.mechanical_brake", "there is no other brake")
			c.Fail("%s: when %s opens in mode %s its regeneration of %s A ends, and nothing else brakes the vehicle", d.ID, by, mode, rules.Figure(a))
		}
	})
}

// opens finds the first thing that cuts a controller off from its batteries in a mode in
// which it may brake: a contact or pole before a fuse.
func opens(p *rules.Pass, d drive) (by, mode string, failed *circuit.Solution) {
	for _, at := range demand.Regenerating(p.Spec, d.Controller) {
		s := p.Circuit.Solve(at)
		if s.Failed != "" || len(s.Alternating()) > 0 {
			return "", "", s
		}
		for _, o := range s.Openings(d.edge) {
			if o.By != nil {
				return o.By.Part, at.Mode, nil
			}
		}
	}
	return "", "", nil
}
