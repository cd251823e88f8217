package converter

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

func notIsolated() *rules.Rule {
	return &rules.Rule{
		ID:     "converter-not-isolated",
		Family: family,
		Title:  "the converter does not isolate the house network from the pack",
		Why: "Above 60 V the pack must not be connected to the network that people touch. Through a converter without isolation, or with " +
			"one that breaks down, one fault puts the pack's voltage on lamps, switches and the vehicle's metalwork.",
		Relation: "highest working voltage > 60 V DC: isolated, and isolation_V >= highest working voltage",
		Source:   "ISO 6469-3 (voltage classes A and B), UN R100 and UN R136 (protection against electric shock)",
		Level:    rules.Error, Required: 1,
		Policy: []string{"policy.required.converter-not-isolated"},
		Vital:  []string{"converters.isolation_V"},
		Fix:    "use a converter with galvanic isolation rated for the highest working voltage",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "converters.converter.isolation_V", Value: "50"}}},
		Check: checkNotIsolated,
	}
}

func checkNotIsolated(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".in_pos") {
			continue
		}
		highest, path, ok, err := highestInput(p, v.ID)
		switch {
		case err != nil && unsettled(c, err):
		case !ok:
			c.NotChecked("a source for "+v.ID, "nothing feeds the input of %s", v.ID)
		default:
			checkIsolation(c, v, highest, path)
		}
	}
}

func checkIsolation(c *rules.Check, v *schema.Converter, highest inputV, path string) {
	if path != "" {
		c.Given("V_max", "highest output voltage of the charger on its network", highest.v, "V", path)
	} else {
		showInput(c, "V_max", "highest working voltage at its input", highest)
	}
	limit := c.Standard("V_A", "limit of voltage class A", calc.ClassALimitV, "V DC", "ISO 6469-3, UN R100, UN R136")
	classB := highest.v > limit
	switch {
	case !classB && !(v.Isolated && v.IsolationV.Known):
		c.Holds(true, "%s works at %s V, voltage class A: no isolation required", v.ID, rules.Figure(highest.v))
	case !v.Isolated:
		c.Fail("%s has no isolation: input at up to %s V, required above %s V", v.ID, rules.Figure(highest.v), rules.Figure(limit))
	case !v.IsolationV.Known:
		c.NotChecked(v.Path()+".isolation_V", "%s: the voltage that its isolation withstands is not stated", v.ID)
	default:
		withstands := c.Given("V_iso", "voltage that the isolation withstands", v.IsolationV.Value, "V", v.Path()+".isolation_V")
		c.AtLeast(rules.Volts(highest.v), rules.Volts(withstands), "%s: input at up to %s V, isolation withstands %s V",
			v.ID, rules.Figure(highest.v), rules.Figure(withstands))
	}
}
