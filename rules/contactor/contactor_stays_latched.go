package contactor

import (
	"example.org/headroom/rules"
)

func staysLatched() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-stays-latched",
		Family: family,
		Title:  "a latching contactor stays closed when key and stop take its supply",
		Why: "A latching contactor needs a pulse to open, as it does to close. Key, emergency stop, interlock and a blown fuse only take the supply away: " +
			"the contact stays as it is, and the drive stays live with the key in the pocket.",
		Relation: "a contactor with latching: true that feeds a controller opens by itself on loss of its supply (opens_on_loss), or another contact that the key opens cuts off the same controllers",
		Source:   "common practice; ISO 13849-1 (de-energise to stop, from memory)",
		Level:    rules.Error,
		Fix:      "use a contactor that opens when its supply goes, or one that stores its opening pulse (opens_on_loss: true)",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.coil.latching", Value: "true"}}},
		Check: checkStaysLatched,
	}
}

func checkStaysLatched(p *rules.Pass) {
	key, found := newCutoff(p, "key", true)
	if !found {
		key = handCutoff(p)
	}
	for _, d := range drives(p) {
		if !d.coil.Latching {
			continue
		}
		c, ok := onCoil(p, d.device)
		switch {
		case !ok:
		case d.coil.OpensOnLoss:
			c.AsDeclared(d.coilPath("opens_on_loss"), d.id+" opens by a pulse that it has stored when its supply goes")
			c.Holds(true, "%s opens when its supply goes", d.id)
		case key.cutsAll(d.ids):
			c.Holds(true, "%s stays closed, but another contact cuts off %s", d.id, rules.And(d.ids))
		default:
			c.GivenText("latching", "stays as it is without a supply", "true", d.coilPath("latching"))
			c.Fail("%s is latching: it stays closed when key or emergency stop take its supply, and %s stays live", d.id, rules.And(d.ids))
		}
	}
}
