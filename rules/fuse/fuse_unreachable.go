package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func unreachable() *rules.Rule {
	return &rules.Rule{
		ID:       "fuse-unreachable",
		Family:   family,
		Title:    "a fuse without which the vehicle stops cannot be reached on the road",
		Why:      "A fuse under a bolted plate or behind the battery is not replaced at the roadside, and not looked at in the yearly check either.",
		Relation: "reachable: true for every fuse that feeds a controller, and wherever reachable is declared",
		Source:   "ABYC E-11 (overcurrent devices readily accessible); common practice elsewhere",
		Level:    rules.Note,
		Fix:      "move the fuse to where it can be reached without taking the vehicle apart",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.reachable", Value: "false"}}},
		Check: checkUnreachable,
	}
}

func checkUnreachable(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		path := f.Path() + ".reachable"
		switch {
		case f.Reachable != nil && *f.Reachable:
			c.Holds(true, "%s can be reached", f.ID)
		case f.Reachable != nil:
			c.Related(path, "declared here")
			c.Fail("%s cannot be reached without taking the vehicle apart", f.ID)
		case s.stopsVehicle(f.ID):
			c.NotChecked(path, "%s feeds a controller; whether it can be reached is not declared", f.ID)
		}
		return true
	})
}
