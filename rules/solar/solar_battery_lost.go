package solar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func batteryLost() *rules.Rule {
	return &rules.Rule{
		ID:     "solar-battery-lost",
		Family: family,
		Title:  "with the battery cut off and the sun out, the regulator's voltage destroys what is left on it",
		Why: "A battery that cuts itself off, a fuse that opens or a disconnect that somebody opens at noon leaves the regulator with the lamps and instruments alone. A good one " +
			"holds its voltage; a cheap one lets through what the modules give, and 22 V on a 12 V network take everything with them.",
		Relation: "regulator.without_battery_V, or the open-circuit voltage of the modules in the cold where it is not stated, <= max_V of every part that stays on its output",
		Source:   "data sheets of regulators; circuit theory",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.solar-battery-lost"},
		Vital:    []string{"solar.regulator.without_battery_V"},
		Fix:      "use a regulator that holds its voltage without a battery, or parts that withstand what it gives then",
		Example: rules.Example{Vehicle: "mole", Subject: "roof", Edits: []rules.Edit{
			{Path: "solar.roof.regulator.without_battery_V", Value: "90"}}},
		Check: checkBatteryLost,
	}
}

// left is a part that stays on the output of a regulator, and what it withstands.
type left struct {
	id, path string
	maxV     schema.Number
}

func checkBatteryLost(p *rules.Pass) {
	for _, s := range wired(p) {
		c := p.Subject(s.ID, s.Path())
		if p.Unsound(c, s.ID+".pos", s.ID+".neg") {
			continue
		}
		var weakest *left
		unknown := ""
		for _, x := range leftOn(p, p.Circuit.Edge(s.ID)) {
			switch {
			case !x.maxV.Known:
				unknown = x.path
			case weakest == nil || x.maxV.Value < weakest.maxV.Value:
				weakest = &x
			}
		}
		evalBatteryLost(c, p, s, weakest, unknown)
	}
}

func evalBatteryLost(c *rules.Check, p *rules.Pass, s *schema.Solar, weakest *left, unknown string) {
	stated := s.Regulator.WithoutBatteryV
	var v float64
	if stated.Known {
		v = c.Given("V_off", "output of the regulator without a battery", stated.Value, "V", s.Path()+".regulator.without_battery_V")
	} else {
		v = openV(c, p, s)
	}
	if weakest == nil && unknown == "" {
		c.Holds(true, "%s: nothing but batteries is on its output", s.ID)
		return
	}
	fails := weakest != nil && v*p.Required() > weakest.maxV.Value
	switch {
	case fails && !stated.Known:
		c.NotChecked(s.Path()+".regulator.without_battery_V", "%s: without its battery it gives up to %s V, the modules' own, and %s withstands %s V; whether it holds its voltage then is not stated",
			s.ID, rules.Figure(v), weakest.id, rules.Figure(weakest.maxV.Value))
	case !fails && unknown != "":
		c.NotChecked(unknown, "%s: gives %s V without its battery; what that does to a part on its output is not known", s.ID, rules.Figure(v))
	default:
		limit := c.Given("V_max", "highest voltage that "+weakest.id+" withstands", weakest.maxV.Value, "V", weakest.path)
		c.Related(weakest.path, "stays on its output")
		c.Fix("use a regulator that holds %s V or less without a battery", rules.Figure(rules.RoundDown(limit/p.Required(), 0.1)))
		c.AtMost(rules.Volts(v), rules.Volts(limit), "%s: %s V at its output when the battery is cut off in the sun, %s withstands %s V", s.ID, rules.Figure(v), weakest.id, rules.Figure(limit))
	}
}

// leftOn lists what closed metal can join to both poles of an output: consumers,
// instruments, controllers and converters.
func leftOn(p *rules.Pass, out *circuit.Edge) (list []left) {
	on := func(e *circuit.Edge) bool {
		return e != nil && p.Circuit.MetalJoins(e.From, out.From) && p.Circuit.MetalJoins(e.To, out.To)
	}
	for id, x := range schema.Sorted(p.Spec.Loads) {
		if !x.Spare && on(p.Circuit.Edge(id)) {
			list = append(list, left{id, x.Path() + ".max_V", x.MaxV})
		}
	}
	for id, x := range schema.Sorted(p.Spec.Meters) {
		if !x.Spare && on(p.Circuit.Edge(id+".supply")) {
			list = append(list, left{id, x.Path() + ".max_V", x.MaxV})
		}
	}
	for id, x := range schema.Sorted(p.Spec.Controllers) {
		if !x.Spare && on(p.Circuit.Edge(id)) {
			list = append(list, left{id, x.Path() + ".max_V", schema.Some(x.MaxV)})
		}
	}
	for id, x := range schema.Sorted(p.Spec.Converters) {
		if !x.Spare && on(p.Circuit.Edge(id+".in")) {
			list = append(list, left{id, x.Path() + ".input.max_V", schema.Some(x.Input.MaxV)})
		}
	}
	return list
}
