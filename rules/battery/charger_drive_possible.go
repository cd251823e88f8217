package battery

import "example.org/headroom/rules"

func chargerDrivePossible() *rules.Rule {
	return &rules.Rule{
		ID:       "charger-drive-possible",
		Family:   family,
		Title:    "the vehicle can be driven off while its charger is plugged in",
		Why:      "Sooner or later someone drives off with the cable in. It tears out the inlet or the socket, live and under load.",
		Relation: "charger.inhibits_drive: an interlock, a pole of the inlet or a signal of the charger disables the drive while it is plugged in",
		Source:   "UN R100 and UN R136 (no movement by its own drive while connected to the supply, from memory); common practice off the road",
		Level:    rules.Warning,
		Fix:      "wire the controller's enable or the main contactor's coil through a contact of the inlet, and set inhibits_drive: true",
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
			c.AsDeclared(ch.Path()+".inhibits_drive", "the drive is held back while "+ch.ID+" is plugged in; no interlock is drawn")
			c.Holds(true, "%s disables the drive while it is plugged in", ch.ID)
			continue
		}
		c.Fail("no charging interlock is declared for %s: the drive works while it is plugged in", ch.ID)
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
