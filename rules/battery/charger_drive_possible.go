package battery

import "example.org/headroom/rules"

func chargerDrivePossible() *rules.Rule {
	return &rules.Rule{
		ID:     "charger-drive-possible",
		Family: family,
		Title:  "the vehicle can be driven off while its charger is plugged in",
		Why: "Someone always drives off with the cable in. It tears out the inlet or the socket, under voltage and load, and pulls the plug of " +
			"whatever else hangs there.",
		Relation: "charger.inhibits_drive: an interlock, a pole of the inlet or a signal of the charger keeps the drive from working while it is plugged in",
		Source:   "UN R100 and UN R136 (no movement by its own drive while connected to the supply, from memory); common practice off the road",
		Level:    rules.Warning,
		Fix:      "take the controller's enable or the main contactor's coil through a contact of the inlet, and state inhibits_drive: true",
		Example: rules.Example{Vehicle: "heron", Subject: "charger", Edits: []rules.Edit{
			{Path: "chargers.charger.inhibits_drive", Value: "false"}}},
		Check: checkChargerDrive,
	}
}

func checkChargerDrive(p *rules.Pass) {
	for _, ch := range chargers(p) {
		if !drives(p) {
			return // there is nothing to drive off with
		}
		c := p.Subject(ch.ID, ch.Path())
		if ch.InhibitsDrive {
			c.Holds(true, "%s keeps the drive from working while it is plugged in", ch.ID)
			continue
		}
		c.Fail("nothing is stated that keeps the drive from working while %s is plugged in", ch.ID)
	}
}

// drives reports whether the vehicle has a controller that is wired.
func drives(p *rules.Pass) bool {
	for id, k := range p.Spec.Controllers {
		if !k.Spare && p.Circuit.Connected(id+".pos") {
			return true
		}
	}
	return false
}
