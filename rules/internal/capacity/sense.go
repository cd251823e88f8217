package capacity

import (
	"errors"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
)

// SenseLead is a sense lead of a shunt and what else protects its conductors.
type SenseLead struct {
	circuit.SenseLead
	// Suited reports that its conductors withstand what the fuses elsewhere in every
	// loop through them let pass, so that it needs no fuse of its own.
	Suited bool
	// Missing is the value without which that is not known, or nil.
	Missing *rules.Missing
}

// SenseLeads lists the sense leads of a vehicle's shunts.
func SenseLeads(p *rules.Pass) []SenseLead {
	var out []SenseLead
	for _, lead := range p.Circuit.SenseLeads() {
		suited, missing := suits(p, lead)
		out = append(out, SenseLead{SenseLead: lead, Suited: suited, Missing: missing})
	}
	return out
}

// LeftToSense is the set of conductors whose protection the rule
// sense-lead-unfused answers for: what a fault drives through them is no reason
// to make them thicker. Those that the fuses elsewhere suit are not among them.
func LeftToSense(p *rules.Pass) map[string]bool {
	out := map[string]bool{}
	for _, lead := range SenseLeads(p) {
		if lead.Suited {
			continue
		}
		for _, id := range lead.Conductors {
			out[id] = true
		}
	}
	return out
}

// suits works out whether the conductors of a lead need no fuse of their own.
func suits(p *rules.Pass, lead circuit.SenseLead) (bool, *rules.Missing) {
	var missing *rules.Missing
	for _, id := range lead.Conductors {
		c, err := Derated(p, p.Subject(id, id).Working, id)
		if err != nil {
			if !errors.As(err, &missing) {
				return false, nil
			}
			// A fuse that might suit it makes the difference.
			if protects(p, id, func(circuit.Guard) bool { return true }) {
				continue
			}
			return false, nil
		}
		if !protects(p, id, func(g circuit.Guard) bool { return withstands(p, g, c.IzA) }) {
			return false, nil
		}
	}
	return missing == nil, missing
}

// protects reports whether every guard of a conductor is one that does.
func protects(p *rules.Pass, id string, does func(circuit.Guard) bool) bool {
	for _, g := range p.Circuit.Guards()[id] {
		limited := g.Source.LimitA > 0 || g.Resistor != "" || len(g.Fuses) > 0
		if !limited || !does(g) {
			return false
		}
	}
	return true
}

// withstands reports whether a conductor of an ampacity, in A, withstands
// continuously what its guard lets pass.
func withstands(p *rules.Pass, g circuit.Guard, ampacityA float64) bool {
	if limit := g.Source.LimitA; limit > 0 && limit <= ampacityA || g.Resistor != "" && g.ResistorA <= ampacityA {
		return true
	}
	for _, id := range g.Fuses {
		f := p.Circuit.Device(id)
		most, full := calc.OverloadLimitA(calc.FuseClass(f.Class), ampacityA)
		if full && !f.MinBreakingA.Known && f.RatedA <= most {
			return true
		}
	}
	return false
}
