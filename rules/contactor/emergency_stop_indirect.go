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
		Title:  "the emergency stop does not itself cut the supply of the drive",
		Why: "An emergency stop that only asks the controller to stop is of no use on the day the controller does not respond. " +
			"It has to open the contactor's coil circuit with contacts of its own.",
		Relation: "with every pole of the emergency stop open and everything else closed, drivers included, no path of conductors, contacts and diodes feeds the coil, or none feeds the controller behind the contact; none feeds a controller that no contactor switches",
		Source:   "ISO 13850 and IEC 60204-1, 9.2 and 10.7 (an emergency stop removes the power by electromechanical parts, whatever else fails; from memory)",
		Level:    rules.Error,
		Fix:      "route the coil's feed through a pole of the emergency stop",
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
			c.Holds(true, "the emergency stop itself cuts the supply of what %s feeds", d.id)
		default:
			path := stop.path(p.Circuit.Edge(d.id + ".coil"))
			c.GivenText("path", "feed that bypasses the emergency stop", names(path), d.base.Path())
			c.Fail("the coil of %s is still fed through %s with the emergency stop open", d.id, partNames(path))
		}
	}
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if !k.Spare && !behind[id] && p.Circuit.Connected(id+".pos") && p.Circuit.Connected(id+".neg") {
			evalStoppedSupply(p, stop, k)
		}
	}
}

// evalStoppedSupply checks the supply of a controller that no contactor switches:
// it has none, or there is a way around it.
func evalStoppedSupply(p *rules.Pass, stop *cutoff, k *schema.Controller) {
	c := p.Subject(k.ID, k.Path())
	if p.Unsound(c, k.ID+".pos", k.ID+".neg") {
		return
	}
	path := stop.path(p.Circuit.Edge(k.ID))
	if path == nil {
		c.Holds(true, "the emergency stop opens every feed of %s", k.ID)
		return
	}
	c.GivenText("path", "feed that bypasses the emergency stop", names(path), k.Path())
	for id, contactor := range schema.Sorted(p.Spec.Contactors) {
		if stop.off[id] && !contactor.Spare {
			rule, around := charging.Bypassed(p, id)
			if rule != "" && !slices.ContainsFunc(around, func(e *circuit.Edge) bool { return !slices.Contains(path, e) }) {
				c.Because(rule, id)
			}
		}
	}
	c.Fix("feed %s only through a contactor whose coil circuit the emergency stop opens, and remove every path around it", k.ID)
	c.Fail("%s is still fed through %s with the emergency stop open", k.ID, partNames(path))
}
