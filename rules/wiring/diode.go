package wiring

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// eachDiode runs a check over the diodes that are wired and whose circuit is sound.
func eachDiode(p *rules.Pass, check func(*rules.Check, *schema.Diode)) {
	for id, d := range schema.Sorted(p.Spec.Diodes) {
		if d.Spare || !p.Circuit.Connected(id+".anode") || !p.Circuit.Connected(id+".cathode") {
			continue // an unconnected terminal has a finding of its own
		}
		c := p.Subject(id, d.Path())
		switch {
		case p.Unsound(c, id+".anode", id+".cathode"):
		case len(p.Spec.Modes) == 0:
			c.NotChecked("modes", "%s: no mode says what it carries and blocks", id)
		default:
			check(c, d)
		}
	}
}

// diodeStates are the states in which a diode carries or blocks most: the
// batteries full or empty, the converter running or not.
func diodeStates(p *rules.Pass) (out []circuit.Case) {
	for _, mode := range p.Circuit.States() {
		for _, k := range []circuit.Case{demand.Full(mode), demand.FullAlone(mode), demand.Empty(mode), demand.EmptyAlone(mode)} {
			k.Coil = circuit.CoilCold
			out = append(out, k)
		}
	}
	return out
}

// worstOf solves the states and returns the greatest of a measure of a diode,
// with its state. It reports false, and why, where one of them cannot be relied on.
func worstOf(c *rules.Check, p *rules.Pass, id string, measure func(*circuit.Solution) float64) (worst float64, at circuit.Case, ok bool) {
	for _, k := range diodeStates(p) {
		s := p.Circuit.Solve(k)
		if !s.Settled(id) {
			c.Unsettled(s, id)
			return 0, k, false
		}
		if x := measure(s); x > worst*(1+1e-9) {
			worst, at = x, k
		}
	}
	return worst, at, true
}
