package wiring

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/circuit"
	"example.org/headroom/schema"
)

func disconnectLeavesLive() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-leaves-live",
		Family: family,
		Title:  "something stays live with the service disconnect open",
		Why: "Whoever opens the service disconnect takes what lies beyond it for dead and puts a spanner on it. " +
			"A feed taken from the wrong side, or a pre-charge resistor round the disconnect, keeps it at pack voltage.",
		Relation: "with every disconnect open and everything else closed, no part of the traction network has more than policy.live_V across it",
		Source:   "ISO 6469-3 and UN R100/R136 (service disconnect); the limit is common practice",
		Level:    rules.Error,
		Policy:   []string{"policy.live_V"},
		Fix:      "move the feed behind the disconnect, or mark the part always_live: true if it must stay on (a battery monitor) and label it on the vehicle",
		Example: rules.Example{Vehicle: "mole", Subject: "converter", Edits: []rules.Edit{
			{Path: "busbars.b_comb_1.from", Value: `"isolator.a"`}}},
		Check: checkDisconnectLeavesLive,
	}
}

func checkDisconnectLeavesLive(p *rules.Pass) {
	var open []string
	for id := range schema.Sorted(p.Spec.Disconnects) {
		open = append(open, id, id+".2")
	}
	if len(open) == 0 {
		return
	}
	state := circuit.Case{AllClosed: true, Open: strings.Join(open, " "), Pack: circuit.Highest,
		House: circuit.Alone, NoAuxiliary: true, NoDraw: true, NoLoads: true}
	s := p.Circuit.Solve(state)
	for id, part := range p.Spec.Parts() {
		for _, pair := range supplied(part) {
			pos, neg := id+"."+pair[0], id+"."+pair[1]
			if !p.Circuit.Connected(pos) || !p.Circuit.Connected(neg) || !tractionFed(p.Circuit, pos) {
				continue
			}
			checkLive(p, s, id, part.Common(), pos, neg)
		}
	}
}

func checkLive(p *rules.Pass, s *circuit.Solution, id string, part *schema.Base, pos, neg string) {
	c := p.Subject(id, part.Path())
	if p.Unsound(c, pos, neg) {
		return
	}
	if s.Failed != "" {
		c.NotChecked("a solution of the circuit", "the circuit with the disconnect open could not be solved: %s", s.Failed)
		return
	}
	v, ok := s.Across(pos, neg)
	if !ok {
		v = 0
	}
	v = max(v, -v)
	c.Solved("V", "voltage across "+id, v, "V", "every disconnect open, everything else closed, pack full")
	limit := c.Default("V_live", "voltage that counts as live", p.Spec.Policy.LiveV, "V", "policy.live_V")
	switch {
	case v <= limit:
		c.Holds(true, "%s is dead with the disconnect open", id)
	case part.AlwaysLive:
		c.Level(rules.Note).Holds(true, "%s stays at %s V with the disconnect open, as it is declared to", id, rules.Figure(v))
	default:
		c.Fail("%s still has %s V across it with every disconnect open", id, rules.Figure(v))
	}
}

// tractionFed reports whether a terminal belongs to the network of a traction battery.
func tractionFed(n *circuit.Network, terminal string) bool {
	v, ok := n.Node(terminal)
	if !ok {
		return false
	}
	for id, b := range schema.Sorted(n.Spec.Batteries) {
		if b.Role == "traction" && n.SameNetwork(v, n.Edge(id).From) {
			return true
		}
	}
	return false
}

// supplied lists the pairs of terminals through which a part is supplied.
func supplied(part schema.Part) [][2]string {
	switch part.(type) {
	case *schema.Converter:
		return [][2]string{{"in_pos", "in_neg"}}
	case *schema.Controller, *schema.Load, *schema.Meter, *schema.Charger:
		return [][2]string{{"pos", "neg"}}
	case *schema.Contactor, *schema.Relay:
		return [][2]string{{"coil_pos", "coil_neg"}}
	}
	return nil
}
