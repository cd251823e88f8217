package bms

import (
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func diodeHot() *rules.Rule {
	return &rules.Rule{
		ID:     "bms-diode-hot",
		Family: family,
		Title:  "a pack that has switched off its discharge is charged through the body diodes of its transistors",
		Why: "Switched off does not mean that no current flows. What charges the pack passes the body diodes of the transistors that are off, and these turn 0.8 V " +
			"times the whole current into heat where a milliohm made some watts: the switch unsolders itself and fails shorted.",
		Relation: "the sum of what charges the battery at once <= diode_A: solar regulators with all chargers, or solar regulators with the regeneration of all controllers, whichever is more, each at " +
			"its limit; its heat is I V_f, against I^2 R of the channel. Not asked where the charger has a port of its own",
		Source:   "semiconductor data sheets; 0.8 V from common practice",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.bms-diode-hot"},
		Vital:    []string{"batteries.bms.diode_A"},
		Fix:      "limit what charges the pack, or use a switch that turns its channel on again while current flows into the pack",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.bms.diode_A", Value: "10"}}},
		Check: checkDiode,
	}
}

func checkDiode(p *rules.Pass) {
	each(p, func(c *rules.Check, b *schema.Battery) {
		i, by, drives := into(c, p, b)
		if by == "" {
			c.Holds(true, "%s: nothing charges it past transistors that are off", b.ID)
			return
		}
		forward := c.Or("V_f", "forward voltage of the body diodes", b.BMS.DiodeV, "V", field(b, "diode_V"), calc.DiodeForwardV, "common practice")
		heat := c.Line("P", "heat in them", calc.DiodeHeat(i, forward))
		if b.BMS.OnMOhm.Known {
			on := c.Given("R_on", "resistance when on", b.BMS.OnMOhm.Value, "mOhm", field(b, "on_mOhm"))
			c.Line("P_on", "heat when they are on", calc.ChannelHeat(i, on))
		}
		if !b.BMS.DiodeA.Known {
			c.NotChecked(field(b, "diode_A"), "%s: %s charges it with %s A through transistors that are off, %s W; what their body diodes withstand is not given", b.ID,
				by, rules.Figure(i), rules.Figure(heat))
			return
		}
		limit := c.Given("I_d", "what the body diodes withstand", b.BMS.DiodeA.Value, "A", field(b, "diode_A"))
		if drives != "" && i > limit {
			c.Because("regeneration-high", drives)
		}
		c.AtMost(rules.Amperes(i), rules.Amperes(limit), "%s: %s charges it with %s A through transistors that are off, %s W; their body diodes withstand %s A", b.ID,
			by, rules.Figure(i), rules.Figure(heat), rules.Figure(limit))
	})
}

// into is the greatest current in A by which what charges a battery at once does so over its
// main terminals, and what that is, "" without any; and of which of these is a controller.
// A drive that is plugged in is held back, so that chargers and regeneration never come together.
func into(c *rules.Check, p *rules.Pass, b *schema.Battery) (a float64, by, drives string) {
	port := p.Circuit.Edge(b.ID + ".charge")
	left := circuit.Passes(circuit.AllClosed)
	if port != nil {
		left = circuit.Without(circuit.AllClosed, port)
	}
	var roof, parked, braking []feed
	add := func(list *[]feed, id, field, says string, x float64) {
		if x > 0 && charges(p, p.Circuit.Edge(id), b, left) {
			*list = append(*list, feed{id, field, says + " of " + id, x})
		}
	}
	for id, k := range schema.Sorted(p.Spec.Solar) {
		if !k.Spare {
			add(&roof, id, k.Path()+".regulator.max_A", "highest output current", k.Regulator.MaxA)
		}
	}
	for id, k := range schema.Sorted(p.Spec.Chargers) {
		if !k.Spare {
			add(&parked, id, k.Path()+".max_A", "highest output current", k.MaxA)
		}
	}
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if !k.Spare && k.RegenA.Known {
			add(&braking, id, k.Path()+".regen_A", "regeneration", k.RegenA.Value)
		}
	}
	most := slices.Concat(parked, roof)
	if sum(braking) > sum(parked) {
		most, drives = slices.Concat(braking, roof), braking[0].id
	}
	var names, terms []string
	for i, f := range most {
		symbol := "I"
		if len(most) > 1 {
			symbol += "_" + strconv.Itoa(i+1)
		}
		names, terms = append(names, f.id), append(terms, rules.Term(c.Given(symbol, f.says, f.a, "A", f.path)))
	}
	if a = sum(most); len(most) > 1 {
		c.Calc("I", "all that charge at once", "sum", strings.Join(terms, " + "), a, "A")
	}
	return a, strings.Join(names, " with "), drives
}

// feed is something that charges, with its limit in A.
type feed struct {
	id, path, says string
	a              float64
}

func sum(feeds []feed) (a float64) {
	for _, f := range feeds {
		a += f.a
	}
	return a
}

// charges reports whether metal leads from a source to the two ends of a battery, or of
// batteries in series with it, which the same current charges.
func charges(p *rules.Pass, source *circuit.Edge, b *schema.Battery, left circuit.Passes) bool {
	series := whole(p, b)
	own := slices.IndexFunc(series, func(s circuit.Source) bool { return s.ID == b.ID })
	return slices.ContainsFunc(series[own:], func(s circuit.Source) bool { return p.Circuit.Reaches(source.From, s.Pos, left) }) &&
		slices.ContainsFunc(series[:own+1], func(s circuit.Source) bool { return p.Circuit.Reaches(source.To, s.Neg, left) })
}
