package contactor

import (
	"cmp"
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
		Title:  "the emergency stop does not itself cut the supply of what moves",
		Why: "An emergency stop that only asks the controller to stop is of no use on the day the controller does not respond. " +
			"It has to open the contactor's coil circuit with contacts of its own. A pump, winch or lift that goes on moving crushes whoever the stop was hit for.",
		Relation: "with every pole of the emergency stop open and everything else closed, drivers included, no path of conductors, contacts and diodes feeds the coil, or none feeds the controller behind the contact; none feeds a controller that no contactor switches, nor a load of kind motor from 250 W on, unless it is critical (steering, brakes)",
		Source:   "ISO 13850 and IEC 60204-1, 9.2 and 10.7 (an emergency stop removes the power by electromechanical parts, whatever else fails; from memory); 250 W, above wipers, blowers and fans, is common practice",
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
	behind, fed := map[string]bool{}, ""
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
			fed = cmp.Or(fed, d.id)
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
	for _, l := range schema.Sorted(p.Spec.Loads) {
		if movesSomething(l) && p.Circuit.Connected(l.ID+".pos") && p.Circuit.Connected(l.ID+".neg") {
			evalStoppedLoad(p, stop, l, fed)
		}
	}
}

// movingW is the power in W from which a motor moves what can crush or drag somebody:
// above wipers, blowers and fans, below winches and the pumps of lifts (common practice).
const movingW = 250

func movesSomething(l *schema.Load) bool {
	return !l.Spare && l.LoadKind == "motor" && l.PowerW >= movingW
}

// evalStoppedLoad checks a motor that is no drive. What feeds the coil of a main contactor
// past the stop, by its id, feeds the rest behind the stop as well.
func evalStoppedLoad(p *rules.Pass, stop *cutoff, l *schema.Load, fed string) {
	c := p.Subject(l.ID, l.Path())
	if fed != "" {
		c.Because(p.Rule.ID, fed)
	}
	if p.Unsound(c, l.ID+".pos", l.ID+".neg") {
		return
	}
	path := stop.path(p.Circuit.Edge(l.ID))
	switch {
	case path == nil:
		c.Holds(true, "the emergency stop opens every feed of %s", l.ID)
		return
	case l.Critical || l.Function == "steering":
		field := ".critical"
		if !l.Critical {
			field = ".function"
		}
		c.AsDeclared(l.Path()+field, l.ID+" has to go on running while the emergency stop is open")
		c.Holds(true, "%s is meant to run on with the emergency stop open", l.ID)
		return
	}
	c.Given("P", "power of "+l.ID, l.PowerW, "W", l.Path()+".power_W")
	// What the stop should have opened: the last device by whose contact the motor is fed.
	for _, d := range devices(p) {
		if d.timer || !slices.ContainsFunc(d.contacts, func(e *circuit.Edge) bool { return slices.Contains(path, e) }) {
			continue
		}
		if coil := stop.path(p.Circuit.Edge(d.coilID())); coil != nil {
			c.Related(d.base.Path(), "its contact stays closed")
			c.GivenText("path", "feed of its coil that bypasses the emergency stop", names(coil), d.base.Path())
			c.Fix("route the feed of the coil of %s through a pole of the emergency stop; if %s has to run on (steering, brakes), set critical: true", d.id, l.ID)
			c.Fail("%s, %s W, goes on moving with the emergency stop open: the coil of %s is still fed through %s", l.ID, rules.Figure(l.PowerW), d.id, partNames(coil))
			return
		}
	}
	c.GivenText("path", "feed that bypasses the emergency stop", names(path), l.Path())
	c.Fix("feed %[1]s through a contactor whose coil the emergency stop opens; if it has to run on (steering, brakes), set critical: true", l.ID)
	c.Fail("%s, %s W, goes on moving with the emergency stop open: it is still fed through %s", l.ID, rules.Figure(l.PowerW), partNames(path))
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
