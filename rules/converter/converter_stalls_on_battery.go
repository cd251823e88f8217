package converter

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func stallsOnBattery() *rules.Rule {
	return &rules.Rule{
		ID:     "converter-stalls-on-battery",
		Family: family,
		Title:  "a converter that hiccups at its limit feeds a battery that can be flat",
		Why: "A flat battery holds the output down and asks for more than the converter's limit. One that holds its current recharges the battery; one that switches off " +
			"and tries again never gets past it: after one night with a lamp left on the house network is dead, and stays so.",
		Relation: "at_limit: hiccup: (V_out - V_min of the battery) / its typical resistance <= the converter's current limit",
		Source:   "Ohm's law; data sheets of converters (overload protection)",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.converter-stalls-on-battery", "policy.converter_limit_factor"},
		Vital:    []string{"batteries.resistance_mOhm"},
		Fix:      "use a converter that holds a constant current at its limit, or a battery charger between it and the battery",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "converters.converter.output.at_limit", Value: `"hiccup"`}}},
		Check: checkStalls,
	}
}

func checkStalls(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".out_pos") {
			continue
		}
		var flat circuit.SeriesString
		for _, s := range p.Circuit.Strings() {
			if p.Spec.Batteries[s[0].ID].Role == "auxiliary" && p.Circuit.Charges(p.Circuit.Edge(v.ID+".out"), s) {
				flat = s
				break
			}
		}
		switch {
		case flat == nil:
			// Nothing holds its output down.
		case v.Output.AtLimit != "hiccup":
			c.Holds(true, "%s does not hiccup into a flat %s", v.ID, flat.Name())
		default:
			checkStall(c, p, v, flat)
		}
	}
}

func checkStall(c *rules.Check, p *rules.Pass, v *schema.Converter, flat circuit.SeriesString) {
	ohm, missing := flat.Ohm(p.Circuit, circuit.Typical)
	if missing != "" {
		c.NotChecked(missing, "%s hiccups at its limit; what a flat %s asks of it depends on the battery's resistance", v.ID, flat.Name())
		return
	}
	c.GivenText("at_limit", "what "+v.ID+" does at its limit", v.Output.AtLimit, v.Path()+".output.at_limit")
	set := c.Given("V_out", "output voltage of "+v.ID, v.Output.NominalV, "V", v.Path()+".output.nominal_V")
	var least float64
	for _, b := range flat {
		least += c.Given("V_"+b.ID, "lowest voltage of "+b.ID, p.Spec.Batteries[b.ID].MinV, "V", b.Path+".min_V")
	}
	c.Solved("R_b", "typical resistance of "+flat.Name(), 1000*ohm, "mOhm", "as the spec gives it")
	asks := c.Line("I", "what it asks for when flat", calc.OhmicCurrent("(V_out - V_min)", max(0, set-least), ohm))
	limit, from := p.Circuit.ConverterLimitA(v.ID)
	c.Given("I_lim", "current limit of "+v.ID, limit, "A", from)
	c.AtMost(rules.Amperes(asks), rules.Amperes(limit), "%s hiccups at %s A; a flat %s asks for %s A, so it never starts again", v.ID, rules.Figure(limit), flat.Name(), rules.Figure(asks))
}
