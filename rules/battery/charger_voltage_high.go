package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

func chargerVoltageHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "charger-voltage-high",
		Family: family,
		Title:  "a charger's voltage is above the end of charge of its battery",
		Why: "A charger charges up to its own end voltage. One for more cells, or for another chemistry, overcharges every cell of the pack, every " +
			"time and unattended: the commonest way for a light vehicle to burn down.",
		Relation: "charger max_V <= max_V of the battery, or of its string in series",
		Source:   "data sheets; ISO 6469-1 (protection against overcharge, from memory)",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.charger-voltage-high"},
		Fix:      "use a charger for this pack, or lower its end voltage; do not rely on the pack's own cut-off",
		Example: rules.Example{Vehicle: "mole", Subject: "charger", Edits: []rules.Edit{
			{Path: "chargers.charger.max_V", Value: "67"}}},
		Check: checkChargerVoltage,
	}
}

func checkChargerVoltage(p *rules.Pass) {
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
		weakest := list[0]
		for _, s := range list[1:] {
			if s.V(p.Spec, circuit.Highest) < weakest.V(p.Spec, circuit.Highest) {
				weakest = s
			}
		}
		v := c.Given("V_ch", "highest output voltage of "+ch.ID, ch.MaxV, "V", ch.Path()+".max_V")
		var limit float64
		numbers := ""
		for i, b := range weakest {
			if i > 0 {
				numbers += " + "
			}
			c.Related(b.Path+".max_V", "end of charge of "+b.ID)
			limit += c.Given("V_"+b.ID, "end of charge of "+b.ID, b.MaxV, "V", b.Path+".max_V")
			numbers += rules.Term(b.MaxV)
		}
		if len(weakest) > 1 {
			c.Calc("V_string", "batteries in series", "sum of V_max", numbers, limit, "V")
		}
		c.Culprit(ch.ID) // a wider fuse or converter is no cure
		c.Fix("use a charger, or a setting of it, that ends at %s V or below", rules.Figure(rules.RoundDown(limit, 0.1)))
		c.AtMost(rules.Volts(v), rules.Volts(limit), "%s: charges up to %s V, end of charge of %s %s V", ch.ID, rules.Figure(v), weakest.Name(), rules.Figure(limit))
	}
}
