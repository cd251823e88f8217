package solar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func livePastDisconnect() *rules.Rule {
	return &rules.Rule{
		ID:     "solar-live-past-disconnect",
		Family: family,
		Title:  "the sun keeps the vehicle live with the service disconnect open",
		Why: "Who opens the disconnect takes the vehicle for dead. A solar regulator on the load side of it feeds the studs and the controller's capacitors as long as it is light, " +
			"and no fuse or plug of the battery ends that.",
		Relation: "with every disconnect open no closed path joins the output of a regulator that gives more than 60 V to a controller, converter or consumer at both poles; up to that a label does",
		Source:   "ISO 6469-3 and UN R100/R136 (service disconnect); common practice",
		Level:    rules.Warning,
		Fix:      "connect the regulator on the battery's side of the disconnect; or label it: cover the modules, or open the regulator's own switch, before the disconnect is relied on",
		Example: rules.Example{Vehicle: "mole", Subject: "roof", Edits: []rules.Edit{
			{Path: "solar.roof.regulator.without_battery_V", Value: "66"}}},
		Check: checkLive,
	}
}

func checkLive(p *rules.Pass) {
	if len(p.Spec.Disconnects) == 0 {
		return
	}
	for _, s := range wired(p) {
		c := p.Subject(s.ID, s.Path())
		if p.Unsound(c, s.ID+".pos", s.ID+".neg") {
			continue
		}
		evalLive(c, p, s)
	}
}

func evalLive(c *rules.Check, p *rules.Pass, s *schema.Solar) {
	out := p.Circuit.Edge(s.ID)
	metal := func(bool) circuit.Passes {
		return func(e *circuit.Edge, _ circuit.Node) bool {
			_, opened := p.Spec.Disconnects[e.Part]
			return e.Conducts() && !opened
		}
	}
	poles := p.Circuit.ReachPoles(metal, out.From, out.To)
	live := ""
	for _, e := range p.Circuit.Edges {
		switch e.Kind {
		case circuit.ControllerEdge, circuit.ConverterInput, circuit.LoadEdge:
			if base := p.Spec.Part(e.Part).Common(); live == "" && poles.Span(e) && !base.Spare && !base.AlwaysLive {
				live = e.Part
			}
		}
	}
	if live == "" {
		c.Holds(true, "%s feeds nothing with the disconnect open", s.ID)
		return
	}
	v := max(s.Regulator.OutputV, s.Regulator.WithoutBatteryV.Or(0))
	c.Given("V_out", "output voltage of the regulator", s.Regulator.OutputV, "V", s.Path()+".regulator.output_V")
	if s.Regulator.WithoutBatteryV.Known {
		c.Given("V_off", "output of the regulator without a battery", s.Regulator.WithoutBatteryV.Value, "V", s.Path()+".regulator.without_battery_V")
	}
	limit := c.Standard("V_A", "limit of voltage class A", calc.ClassALimitV, "V DC", "ISO 6469-3, UN R100, UN R136")
	if v <= limit {
		c.Holds(true, "%s keeps %s live at up to %s V with every disconnect open, while the sun shines: voltage class A, to be said on its label", s.ID, live, rules.Figure(v))
		return
	}
	c.Related(p.Spec.Part(live).Common().Path(), "stays live in the sun")
	c.Fail("%s keeps %s live at up to %s V with every disconnect open, while the sun shines", s.ID, live, rules.Figure(v))
}
