package circuit

import "slices"

// bypass finds the resistors through which a fuse is passed by.
func (p *protection) bypass(g *Guard, closes []Node, here, there *side) {
	if len(p.strong) == 0 {
		return
	}
	but, _ := p.fusesFor(g.Far, closes, here.fusesButResistors, there.fusesButResistors)
	if slices.Equal(but, g.Fuses) {
		return
	}
	for _, e := range p.strong {
		if here.all.has(e.From) || here.all.has(e.To) || there.all.has(e.From) || there.all.has(e.To) {
			g.Bypass = append(g.Bypass, e.Part)
			g.BypassA += p.source.StringV / p.Spec.Resistors[e.Part].ResistanceOhm
		}
	}
	g.FusesBut = but
}

// fusesButResistors is fusesOver as if the resistors that do not trickle let
// nothing through where metal feeds a node as well.
func (s *side) fusesButResistors(nodes []Node) []int { return s.fusesBy(s.without, nodes) }
