package bms

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func chargePortLoaded() *rules.Rule {
	return &rules.Rule{
		ID:     "bms-charge-port-loaded",
		Family: family,
		Title:  "a consumer hangs on the charge port of a pack",
		Why: "A pack with a charge port of its own leads it past the transistors of discharge. What draws from there is not switched off at the low limit: it empties the cells " +
			"until they are spoilt, and the next charge of such cells starts fires.",
		Relation: "no consumer, controller, converter or coil is joined to the terminal charge; it has the charger alone",
		Source:   "data sheets of battery management systems; common practice",
		Level:    rules.Error,
		Fix:      "connect it to the main terminal of the pack",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.bms.port", Value: `"separate"`},
			{Path: "wires.w_minus_pack.to", Value: `"pack.charge"`}}},
		Check: checkPort,
	}
}

func checkPort(p *rules.Pass) {
	each(p, func(c *rules.Check, b *schema.Battery) {
		if !b.HasChargePort() {
			c.Holds(true, "%s: charger and vehicle hang on the same terminals", b.ID)
			return
		}
		on := p.Circuit.OnChargePort(b.ID)
		if len(on) == 0 {
			c.Holds(true, "%s: nothing draws from its charge port", b.ID)
			return
		}
		c.Related(p.Spec.Part(on[0].Part).Common().Path(), "draws from the charge port")
		c.Fail("%s: %s draws from its charge port, past what protects it from being emptied", b.ID, on[0].Part)
	})
}
