package bms

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func staysAsleep() *rules.Rule {
	return &rules.Rule{
		ID:     "bms-stays-asleep",
		Family: family,
		Title:  "an empty pack that has switched itself off cannot be charged any more",
		Why: "The pack is empty and has switched off: its terminals show nothing. The charger waits for the voltage of a battery before it starts, the pack waits for the " +
			"charger. Or the contactor between them is fed by the pack that sleeps. The vehicle is stranded, and somebody bridges the pack with a cable.",
		Relation: "where only a charger wakes the pack (wake: charger), a charger that starts without a battery (starts_without_battery) reaches it with every contact that a coil has to close open",
		Source:   "common practice",
		Level:    rules.Error,
		Vital:    []string{"batteries.bms.wake", "chargers.starts_without_battery"},
		Fix:      "use a charger that starts without seeing a battery, or a pack with a button to wake it, and connect the charger before the contactor",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "chargers.charger.starts_without_battery", Value: "false"}}},
		Check: checkAsleep,
	}
}

func checkAsleep(p *rules.Pass) {
	each(p, func(c *rules.Check, b *schema.Battery) {
		switch b.BMS.Wake {
		case "":
			c.NotChecked(field(b, "wake"), "%s: what wakes it after it has switched itself off is not given", b.ID)
			return
		case "button", "load-off":
			c.GivenText("wake", "what wakes it", b.BMS.Wake, field(b, "wake"))
			c.Holds(true, "%s is woken without a charger", b.ID)
			return
		}
		evalAsleep(c, p, b)
	})
}

func evalAsleep(c *rules.Check, p *rules.Pass, b *schema.Battery) {
	whole := whole(p, b)
	behind, waits, unknown := "", "", ""
	for id, k := range schema.Sorted(p.Spec.Chargers) {
		e := p.Circuit.Edge(id)
		switch {
		case k.Spare || !p.Circuit.MetalJoins(e.From, whole.Pos()) || !p.Circuit.MetalJoins(e.To, whole.Neg()):
		case !p.Circuit.Reaches(e.From, whole.Pos(), circuit.Unswitched) || !p.Circuit.Reaches(e.To, whole.Neg(), circuit.Unswitched):
			behind = id
		case k.StartsWithoutBattery == nil:
			unknown = id
		case !*k.StartsWithoutBattery:
			waits = id
		default:
			c.Holds(true, "%s: %s starts without a battery and wakes it", b.ID, id)
			return
		}
	}
	switch {
	case unknown != "":
		c.NotChecked(p.Spec.Chargers[unknown].Path()+".starts_without_battery", "%s: only a charger wakes it; whether %s starts on a pack that shows no voltage is not given", b.ID, unknown)
	case waits != "":
		c.Related(p.Spec.Chargers[waits].Path(), "waits for the voltage of a battery")
		c.Fail("%s: once it has switched itself off it waits for a charger, and %s waits for the voltage of a battery", b.ID, waits)
	case behind != "":
		c.Because("charge-path-open", behind)
		c.Related(p.Spec.Chargers[behind].Path(), "behind a contact")
		c.Fail("%s: once it has switched itself off only a charger wakes it, and %s is behind a contact that nothing closes then", b.ID, behind)
	default:
		c.NotChecked("a charger that is connected to "+whole.Name(), "%s: once it has switched itself off only a charger wakes it, and the one that charges it is not in the specification", b.ID)
	}
}
