package charging

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Bypassed returns the conductors that lead around the open contact of a contactor in
// the main path of a battery, and the rule that finds it; "" if there is none.
func Bypassed(p *rules.Pass, contactor string) (rule string, path []*circuit.Edge) {
	contact := p.Circuit.Edge(contactor + ".contact")
	path = p.Circuit.Bypass(contact.ID)
	bare := func(e *circuit.Edge) bool { return e.Conducts() && e.Kind != circuit.ContactEdge }
	if len(path) == 0 || slices.ContainsFunc(path, func(e *circuit.Edge) bool { return !bare(e) }) {
		return "", nil
	}
	for _, s := range p.Circuit.Sources() {
		for _, end := range []circuit.Node{contact.From, contact.To} {
			switch {
			case !s.IsBattery():
			case p.Circuit.MetalJoins(s.Pos, end):
				return "contactor-bypassed", path
			case p.Circuit.MetalJoins(s.Neg, end):
				return "return-path-second", path
			}
		}
	}
	return "", nil
}

// BecauseBypassed makes a finding follow from conductors that lead around a contactor
// of a network.
func BecauseBypassed(p *rules.Pass, c *rules.Check, in circuit.Node) {
	for id, k := range schema.Sorted(p.Spec.Contactors) {
		if k.Spare || !p.Circuit.SameNetwork(p.Circuit.Edge(id+".contact").From, in) {
			continue
		}
		if rule, _ := Bypassed(p, id); rule != "" {
			c.Because(rule, id)
			return
		}
	}
}
