package wiring

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func networksJoined() *rules.Rule {
	return &rules.Rule{
		ID:     "networks-joined",
		Family: family,
		Title:  "networks that are declared isolated are joined",
		Why: "An isolated converter keeps the pack off the chassis. One common negative, meter lead or chassis connection undoes it: " +
			"the first worn cable then puts pack voltage on the metalwork, and the second is a short circuit through it.",
		Relation: "no path of conductors or parts joins the input and the output of an isolated converter, " +
			"or a traction network above 60 V to the chassis",
		Source: "ISO 6469-3, UN R100/R136 (isolation of voltage class B from the electrical chassis)",
		Level:  rules.Error,
		Fix:    "remove the connection, or declare the converter isolated: false if the networks are meant to share a negative",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "wires.common_negative", Value: `{"from": "converter.in_neg", "to": "converter.out_neg", "size": "2.5 mm2", "length_m": 0.1}`}}},
		Check: checkNetworksJoined,
	}
}

// classB is the highest direct voltage of voltage class A, ISO 6469-3.
const classB = 60

func checkNetworksJoined(p *rules.Pass) {
	for id, conv := range schema.Sorted(p.Spec.Converters) {
		if !conv.Isolated || conv.Spare {
			continue
		}
		c := p.Subject(id, conv.Path())
		if p.Unsound(c, id+".in_pos", id+".out_pos") {
			continue
		}
		in, out := p.Circuit.Edge(id+".in"), p.Circuit.Edge(id+".out")
		if !p.Circuit.SameNetwork(in.To, out.To) {
			c.Holds(true, "input and output of %s are separate networks", id)
			continue
		}
		path := p.Circuit.Path(in.To, out.To, anything)
		c.Fail("%s is declared isolated, but its input and output are joined by %s", id, describe(path))
	}
	checkChassis(p)
}

// checkChassis looks for a galvanic path from a battery, or a string of them, to
// the vehicle's metalwork: above class A always, and below it where the metalwork
// is declared isolated.
func checkChassis(p *rules.Pass) {
	chassis, _ := p.Circuit.Node(schema.Chassis)
	for _, list := range p.Circuit.Strings() {
		above := list[0].Role == "traction" && list.V(p.Spec, circuit.Highest) > classB
		if !above && p.Spec.Vehicle.Chassis != "isolated" {
			continue
		}
		first := p.Spec.Batteries[list[0].ID]
		c := p.Subject(first.ID, first.Path())
		if p.Unsound(c, first.ID+".pos") {
			continue
		}
		var path []*circuit.Edge
		joined := p.Circuit.SameNetwork(list.Neg(), chassis)
		if joined {
			path = p.Circuit.Path(list.Neg(), chassis, anything)
		}
		if above {
			judgeAboveClassA(c, p, list, joined, path)
			continue
		}
		c.GivenText("chassis", "what the metalwork is declared", p.Spec.Vehicle.Chassis, "vehicle.chassis")
		c.Fix("take the joint away, with a return of its own for what used the chassis; or, for a low-voltage network that is meant so, declare chassis: house-negative")
		if !joined {
			c.Holds(true, "%s has no connection to the chassis", list.Name())
			continue
		}
		c.Fail("the chassis is declared isolated, but %s is joined to it by %s", list.Name(), describe(path))
	}
}

func judgeAboveClassA(c *rules.Check, p *rules.Pass, list circuit.SeriesString, joined bool, path []*circuit.Edge) {
	volts := demand.StringVoltage(c.Working, p.Circuit, list[0])
	c.Standard("V_A", "highest voltage of class A", classB, "V", "ISO 6469-3")
	if !joined {
		c.Holds(true, "%s, %s V at its highest, has no connection to the chassis", list.Name(), rules.Figure(volts))
		return
	}
	does := "reaches %s V, above class A, but is"
	if len(list) > 1 {
		does = "reach %s V together, above class A, but are"
	}
	c.Fail("%s "+does+" joined to the chassis by %s", list.Name(), rules.Figure(volts), describe(path))
}

// anything is a path over every kind of edge: even a lamp joins two networks.
func anything(e *circuit.Edge, _ circuit.Node) (float64, bool) {
	if e.Conducts() {
		return 1, true
	}
	return 100, true
}
