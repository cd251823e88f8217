package battery

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func chargerDrivePossible() *rules.Rule {
	return &rules.Rule{
		ID:     "charger-drive-possible",
		Family: family,
		Title:  "the vehicle can be driven off while its charger is plugged in",
		Why:    "Sooner or later someone drives off with the cable in. It tears out the inlet or the socket, live and under load: the end of a mains cable then lies bare on the ground.",
		Relation: "a contact of the inlet that is open with the plug in (inhibit) leaves no controller its enable input or supply in a mode that drives; or charger.inhibits_drive: an interlock, a pole of the inlet or a signal of the charger disables the drive while it is plugged in; " +
			"not asked of one that is fed by a source on board: of supply dc, or, where that is not stated, neither pluggable nor with a mains current, and connected in a mode that drives",
		Source: "UN R100 and UN R136 (no movement by its own drive while connected to the supply, from memory); common practice off the road",
		Level:  rules.Error,
		Varies: "warning where the spec does not show that it is plugged into the mains: neither supply mains, pluggable, nor a mains current",
		Fix:    "wire the controller's enable or the main contactor's coil through a contact of the inlet, drawn as inhibit_a and inhibit_b of the inlet; or set inhibits_drive: true",
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
		if path, onBoard := fedOnBoard(p, ch); onBoard {
			c.AsDeclared(path, ch.ID+" is fed by a source on board and has no plug")
			c.Holds(true, "%s is not plugged in: a source on board feeds it", ch.ID)
			continue
		}
		if by, held := heldBack(p, ch); held {
			c.Related(p.Spec.Connectors[by].Path(), "its contact opens with the plug in")
			c.Holds(true, "%s: the contact in %s opens with its plug in, and no controller works then", ch.ID, by)
			continue
		}
		if ch.InhibitsDrive {
			c.AsDeclared(ch.Path()+".inhibits_drive", "the drive is held back while "+ch.ID+" is plugged in; no interlock is drawn")
			c.Holds(true, "%s disables the drive while it is plugged in", ch.ID)
			continue
		}
		if ch.Supply != "mains" && !ch.Pluggable && !ch.MaxMainsA.Known {
			c.Level(rules.Warning)
		}
		c.Fail("no charging interlock is declared for %s: the drive works while it is plugged in", ch.ID)
	}
}

// fedOnBoard reports whether a charger is fed by a source on board, such as a solar
// regulator, and the path of what says so.
func fedOnBoard(p *rules.Pass, ch *schema.Charger) (path string, ok bool) {
	if ch.Supply != "" {
		return ch.Path() + ".supply", ch.Supply == "dc"
	}
	if ch.Pluggable || ch.MaxMainsA.Known {
		return "", false
	}
	for _, m := range schema.Sorted(p.Spec.Modes) {
		if len(m.Draw) > 0 && slices.Contains(m.Connected, ch.ID) {
			return m.Path() + ".connected", true
		}
	}
	return "", false
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

// heldBack is the inlet of a charger whose contact, open with the plug in, leaves no
// controller its enable input or its supply in any mode that drives.
func heldBack(p *rules.Pass, ch *schema.Charger) (inlet string, ok bool) {
	inlet = p.Circuit.InletOf(ch.ID)
	if inlet == "" || !p.Spec.Connectors[inlet].Inhibit || !p.Circuit.Connected(inlet+".inhibit_a") || !p.Circuit.Connected(inlet+".inhibit_b") {
		return "", false
	}
	for mode, m := range schema.Sorted(p.Spec.Modes) {
		at := demand.Full(mode)
		at.Open, at.NoDraw = inlet+".inhibit", true
		s := p.Circuit.Solve(at)
		for id := range schema.Sorted(m.Draw) {
			v, wired := s.Across(id+".enable", id+".neg")
			enabled := !p.Circuit.Connected(id+".enable") || wired && v > p.Spec.Policy.LiveV
			supply, _ := s.Across(id+".pos", id+".neg")
			if s.Failed != "" || enabled && supply > p.Spec.Controllers[id].MinV/2 {
				return "", false
			}
		}
	}
	return inlet, true
}
