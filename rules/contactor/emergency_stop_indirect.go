package contactor

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func emergencyStopIndirect() *rules.Rule {
	return &rules.Rule{
		ID:     "emergency-stop-indirect",
		Family: family,
		Title:  "the emergency stop does not take the drive's supply away by itself",
		Why: "An emergency stop that only asks the controller to stop is of no use on the day the controller does not answer. " +
			"It has to take the contactor's coil circuit apart with contacts of its own.",
		Relation: "with every pole of the emergency stop open and everything else closed, drivers included, no path of metal and diodes feeds the coil, or none feeds the controller behind the contact; none feeds a controller that no contactor switches",
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
	behind := map[string]bool{}
	for _, d := range drives(p) {
		for _, id := range d.ids {
			behind[id] = true
		}
		c, ok := onCoil(p, d.device)
		if !ok {
			continue
		}
		switch {
		case stop.off[d.id]:
			c.Holds(true, "the emergency stop opens every feed of the coil of %s", d.id)
		case stop.cutsAll(d.ids):
			c.Holds(true, "the emergency stop takes the supply itself from what %s feeds", d.id)
		default:
			path := stop.path(p.Circuit.Edge(d.id + ".coil"))
			c.GivenText("path", "a feed without a pole of the emergency stop", names(path), d.base.Path())
			c.Fail("with the emergency stop open the coil of %s is still fed by %s", d.id, partNames(path))
		}
	}
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if !k.Spare && !behind[id] && p.Circuit.Connected(id+".pos") && p.Circuit.Connected(id+".neg") {
			judgeStoppedSupply(p, stop, k)
		}
	}
}

// judgeStoppedSupply judges the supply of a controller that no contactor switches:
// it has none, or there is a way round it.
func judgeStoppedSupply(p *rules.Pass, stop *cutoff, k *schema.Controller) {
	c := p.Subject(k.ID, k.Path())
	if p.Unsound(c, k.ID+".pos", k.ID+".neg") {
		return
	}
	path := stop.path(p.Circuit.Edge(k.ID))
	if path == nil {
		c.Holds(true, "the emergency stop opens every feed of %s", k.ID)
		return
	}
	c.GivenText("path", "a feed without a pole of the emergency stop", names(path), k.Path())
	for id, contactor := range schema.Sorted(p.Spec.Contactors) {
		if stop.off[id] && !contactor.Spare {
			rule, round := charging.Bypassed(p, id)
			if rule != "" && !slices.ContainsFunc(round, func(e *circuit.Edge) bool { return !slices.Contains(path, e) }) {
				c.Because(rule, id)
			}
		}
	}
	c.Fix("feed %s through a contactor alone whose coil hangs on the emergency stop, and take every way round it away", k.ID)
	c.Fail("with the emergency stop open %s is still fed by %s", k.ID, partNames(path))
}
