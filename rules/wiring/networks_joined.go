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
		Title:  "networks that are declared isolated are connected",
		Why: "An isolated converter keeps the pack off the chassis. One common negative, meter lead or chassis connection defeats that: " +
			"the first chafed cable then puts pack voltage on the chassis, and the second is a short circuit through it.",
		Relation: "no path of conductors or parts connects the input and the output of an isolated converter, " +
			"a traction network above 60 V and the chassis, or any battery and a chassis declared isolated",
		Source: "ISO 6469-3, UN R100/R136 (isolation of voltage class B from the electrical chassis)",
		Level:  rules.Error,
		Fix:    "remove the connection, or set isolated: false on the converter if the networks are meant to share a negative",
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
			c.Holds(true, "%s: input and output are separate networks", id)
			continue
		}
		path := p.Circuit.Path(in.To, out.To, anything)
		c.Fail("%s is declared isolated, but its input and output are connected by %s", id, describe(path))
	}
	checkChassis(p)
}

// checkChassis looks for a galvanic path from a battery, or a string of them, to
// the chassis: above class A always, and below it where the chassis is declared
// isolated.
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
		connected := p.Circuit.SameNetwork(list.Neg(), chassis)
		if connected {
			path = p.Circuit.Path(list.Neg(), chassis, anything)
		}
		if above {
			evalAboveClassA(c, p, list, connected, path)
			continue
		}
		c.GivenText("chassis", "declared connection of the chassis", p.Spec.Vehicle.Chassis, "vehicle.chassis")
		c.Fix("remove the connection, and give what returned through the chassis its own return conductor; or, if a low-voltage network is meant to return through the chassis, declare chassis: house-negative")
		if !connected {
			c.Holds(true, "%s: no connection to the chassis", list.Name())
			continue
		}
		c.Fail("%s: connected to the chassis, which is declared isolated, by %s", list.Name(), describe(path))
	}
}

func evalAboveClassA(c *rules.Check, p *rules.Pass, list circuit.SeriesString, connected bool, path []*circuit.Edge) {
	volts := demand.StringVoltage(c.Working, p.Circuit, list[0])
	c.Standard("V_A", "highest voltage of voltage class A", classB, "V", "ISO 6469-3")
	if !connected {
		c.Holds(true, "%s: no connection to the chassis at up to %s V", list.Name(), rules.Figure(volts))
		return
	}
	c.Fix("remove the connection: a network above %d V has to be isolated from the chassis", classB)
	through := ""
	if id := notIsolated(p, list.Neg(), path); id != "" {
		through = ", through " + id + ", which is not isolated"
		c.Because("converter-not-isolated", id)
		c.Fix("replace %s by a converter with galvanic isolation: a network above %d V has to be isolated from the chassis", id, classB)
	}
	c.Fail("%s: connected to the chassis at up to %s V, allowed up to %d V, by %s%s", list.Name(), rules.Figure(volts), classB, describe(path), through)
}

// notIsolated names the converter whose common negative a path from a node passes;
// that is no edge of it. "" if there is none.
func notIsolated(p *rules.Pass, from circuit.Node, path []*circuit.Edge) string {
	for id, conv := range schema.Sorted(p.Spec.Converters) {
		if conv.Isolated || conv.Spare {
			continue
		}
		common, ok := p.Circuit.Node(id + ".in_neg")
		if out, ok2 := p.Circuit.Node(id + ".out_neg"); !ok || !ok2 || out != common {
			continue
		}
		for i, at := 0, from; i < len(path); i++ {
			if at = path[i].Other(at); at == common {
				return id
			}
		}
	}
	return ""
}

// anything is a path over every kind of edge: even a lamp connects two networks.
func anything(e *circuit.Edge, _ circuit.Node) (float64, bool) {
	if e.Conducts() {
		return 1, true
	}
	return 100, true
}
