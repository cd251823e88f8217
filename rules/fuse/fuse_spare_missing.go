package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func spareMissing() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-spare-missing",
		Family: family,
		Title:  "no spare is carried for a fuse without which the vehicle stops",
		Why: "Every filling station sells blade fuses; a traction fuse of the right class and voltage is not found there. " +
			"Whoever is stranded bridges it with whatever is at hand.",
		Relation: "spares >= 1 for every fuse that feeds a controller, and wherever spares is declared",
		Source:   "common practice",
		Level:    rules.Note,
		Required: 1,
		Fix:      "carry a spare link of the same type and declare it with spares: 1",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.spares", Value: "0"}}},
		Check: checkSpareMissing,
	}
}

func checkSpareMissing(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		path := f.Path() + ".spares"
		switch {
		case f.Spares.Known:
			n := c.Given("n", "spare links of "+f.ID, f.Spares.Value, "", path)
			c.AtLeast(rules.Quantity{Value: 1}, rules.Quantity{Value: n}, "%s: spares carried %s, required 1", f.ID, rules.Figure(n))
		case s.stopsVehicle(f.ID):
			c.NotChecked(path, "%s feeds a controller; whether a spare is carried is not declared", f.ID)
		}
		return true
	})
}

// stopsVehicle reports whether a controller loses its power with a fuse.
func (s *supply) stopsVehicle(id string) bool {
	for controller := range s.Spec.Controllers {
		if s.guardsTerminal(id, controller+".pos") {
			return true
		}
	}
	return false
}
