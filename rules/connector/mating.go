package connector

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

// mating is the event in which a hand pushes the connector together: what has no contact
// or switch before it that may be open is charged. Not ok where nothing is.
func (k plug) mating(p *rules.Pass) (v charging.Event, ok bool) {
	others := map[string]bool{} // plugs of packs in parallel, which need not be in yet
	for _, x := range plugs(p) {
		others[x.ID] = x.Use == "battery" && x.ID != k.ID
	}
	closing := charging.Closing{Contact: k.power[0]}
	var open []string
	for _, e := range p.Circuit.Edges {
		if e.Kind == circuit.ContactEdge || e.Kind == circuit.SwitchEdge {
			open = append(open, e.ID)
		}
	}
	closing.Open = strings.Join(open, " ")
	shut := func(e *circuit.Edge) bool { return e.Kind != circuit.ContactEdge && e.Kind != circuit.SwitchEdge }
	alone := func(e *circuit.Edge) bool { return shut(e) && !others[e.Part] }
	for _, e := range p.Circuit.Edges {
		if e.Kind != circuit.ControllerEdge && e.Kind != circuit.ConverterInput || p.Spec.Part(e.Part).Common().Spare || charging.LimitsItself(p, e) {
			continue
		}
		for _, pass := range []func(*circuit.Edge) bool{shut, alone} {
			if _, decides := p.Circuit.BlockingContacts(e, k.power.Has, nil, pass); decides {
				closing.Capacitors = append(closing.Capacitors, e)
				break
			}
		}
	}
	return closing.Event(p)
}

// fullV is the voltage in V of the fullest string that feeds the event, and adds its
// steps to the working.
func fullV(c *rules.Check, p *rules.Pass, v charging.Event) (volt float64) {
	seen := map[string]bool{}
	for _, s := range v.Loop.Strings {
		volt = max(volt, demand.EndOfCharge(p, c.Working, s, seen))
	}
	return volt
}
