package contactor

import "example.org/headroom/rules"

func emergencyStopIndirect() *rules.Rule {
	return &rules.Rule{
		ID:     "emergency-stop-indirect",
		Family: family,
		Title:  "the emergency stop does not open the main contactor by itself",
		Why: "An emergency stop that only asks the controller to stop is of no use on the day the controller does not answer. " +
			"It has to take the contactor's coil circuit apart with contacts of its own.",
		Relation: "with every pole of the emergency stop open and everything else closed, drivers included, no path of metal and diodes feeds the coil, or none feeds the controller behind the contact",
		Source:   "ISO 13850 and IEC 60204-1, 9.2 and 10.7 (an emergency stop removes the power by electromechanical parts, whatever else fails; from memory)",
		Level:    rules.Error,
		Fix:      "lead the coil's feed through a pole of the emergency stop",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "wires.w_coil_contactor.from", Value: `"key.house_b"`}}},
		Check: checkEmergencyStop,
	}
}

func checkEmergencyStop(p *rules.Pass) {
	stop, found := newCutoff(p, "emergency-stop", false)
	if !found {
		return
	}
	for _, d := range drives(p) {
		c, ok := onCoil(p, d)
		if !ok {
			continue
		}
		switch {
		case stop.off[d.id]:
			c.Holds(true, "the emergency stop opens every feed of the coil of %s", d.id)
		case stop.cutsControllers(d):
			c.Holds(true, "the emergency stop takes the supply itself from what %s feeds", d.id)
		default:
			path := stop.path(p.Circuit.Edge(d.id + ".coil"))
			c.GivenText("path", "a feed without a pole of the emergency stop", names(path), d.base.Path())
			c.Fail("with the emergency stop open the coil of %s is still fed by %s", d.id, partNames(path))
		}
	}
}
