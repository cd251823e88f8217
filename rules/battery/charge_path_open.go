package battery

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func chargePathOpen() *rules.Rule {
	return &rules.Rule{
		ID:     "charge-path-open",
		Family: family,
		Title:  "a charger does not reach the battery in the mode that charges it",
		Why: "A charger behind the main contactor charges nothing while the key is off: it reaches the pack through the pre-charge resistor alone, with milliamperes, and shows " +
			"green, for its voltage is where it should be. The pack is empty in the morning. Somebody then leaves the key on overnight, and the drive is live while it charges.",
		Relation: "in some mode that connects the charger, at an empty battery, the batteries that it charges take at least a tenth of its max_A",
		Source:   "circuit theory; the tenth is common practice: less than that is a leak through a resistor and no charge",
		Level:    rules.Error,
		Fix:      "connect the charger on the battery's side of the contactor, behind a fuse of its own, or name what closes the path in the closed list of the mode that charges",
		Example: rules.Example{Vehicle: "mole", Subject: "charger", Edits: []rules.Edit{
			{Path: "wires.w_charge_pos.to", Value: `"main_contactor.b"`}, {Path: "wires.w_charge_pos.from", Value: `"charger.pos"`}}},
		Check: checkChargePath,
	}
}

// leastCharge is the share of a charger's current from which on it charges.
const leastCharge = 0.1

func checkChargePath(p *rules.Pass) {
	for _, ch := range chargers(p) {
		c := p.Subject(ch.ID, ch.Path())
		if p.Unsound(c, ch.ID+".pos", ch.ID+".neg") {
			continue
		}
		list := charged(p, ch)
		if len(list) == 0 {
			c.NotChecked("a battery that "+ch.ID+" charges", "%s is not connected to a battery at both poles", ch.ID)
			continue
		}
		most, mode, ok := chargedMost(c, p, ch, list)
		if !ok {
			continue
		}
		if mode == "" {
			c.NotChecked("a mode that connects "+ch.ID, "no mode connects %s, so it is not known what is closed while it charges", ch.ID)
			continue
		}
		evalChargePath(c, p, ch, list, most, mode)
	}
}

// chargedMost is the greatest current into the batteries, in A, over the modes that
// connect a charger, and in which; not ok where that was reported as unknown.
func chargedMost(c *rules.Check, p *rules.Pass, ch *schema.Charger, list []circuit.SeriesString) (most float64, mode string, ok bool) {
	for id, m := range schema.Sorted(p.Spec.Modes) {
		if !slices.Contains(m.Connected, ch.ID) {
			continue
		}
		k := demand.Empty(id)
		k.NoDraw, k.NoLoads = true, true
		s := p.Circuit.Solve(k)
		if c.Unsettled(s, ch.ID) {
			return 0, "", false
		}
		var into float64
		for _, b := range list {
			into += max(0, s.Current(b[0].ID))
		}
		// What it gives and something else takes charges nothing.
		if into = min(into, max(0, -s.Current(ch.ID))); mode == "" || into > most {
			most, mode = into, id
		}
	}
	return most, mode, true
}

func evalChargePath(c *rules.Check, p *rules.Pass, ch *schema.Charger, list []circuit.SeriesString, most float64, mode string) {
	c.In(mode, "pack empty")
	rated := c.Given("I_max", "highest output current of "+ch.ID, ch.MaxA, "A", ch.Path()+".max_A")
	share := c.Default("s", "share of it from which on it charges", leastCharge, "", "common practice")
	need := c.Calc("I_need", "what it charges with at least", "s I_max", rules.Term(share)+" * "+rules.Term(rated), share*rated, "A")
	c.Solved("I", "current into "+list[0].Name(), most, "A", "mode "+mode+", pack empty")
	closed := closable(p, ch, list[0], mode)
	if closed == "" {
		c.Holds(true, "%s reaches %s over closed contacts in mode %s", ch.ID, list[0].Name(), mode)
		return
	}
	if most < need {
		c.Fix("connect %s on the battery's side of %s, behind a fuse of its own; or close %[2]s in mode %s, and keep the drive from working then", ch.ID, closed, mode)
	}
	c.Required(1).AtLeast(rules.Amperes(need), rules.Amperes(most), "%s: %s A into %s in mode %s, of the %s A that it is rated for", ch.ID,
		rules.Figure(most), list[0].Name(), mode, rules.Figure(rated))
}

// closable is an open contact on the way of a charger to a string in a mode, "" if
// there is none.
func closable(p *rules.Pass, ch *schema.Charger, list circuit.SeriesString, mode string) string {
	e := p.Circuit.Edge(ch.ID)
	s := p.Circuit.Solve(circuit.Case{Mode: mode, NoDraw: true, NoLoads: true})
	for _, way := range [][2]circuit.Node{{e.From, list.Pos()}, {list.Neg(), e.To}} {
		for _, x := range p.Circuit.Path(way[0], way[1], throughDiodes) {
			if (x.Kind == circuit.ContactEdge || x.Kind == circuit.SwitchEdge) && !s.ClosedMetal(x, x.From) {
				return x.Part
			}
		}
	}
	return ""
}
