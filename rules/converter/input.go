package converter

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// inputV is a voltage at a converter's input, and where.
type inputV struct {
	v     float64
	mode  string
	state circuit.Case
	stops bool // the converter, which runs at the nominal voltage, stops
}

// fedV is the least input voltage that counts as being fed at all, in V.
const fedV = 1

func acrossInput(s *circuit.Solution, id string) float64 {
	v, _ := s.Across(id+".in_pos", id+".in_neg")
	return v
}

// lowestInput finds the lowest voltage at a converter's input while it is
// meant to run: pack empty and at its greatest resistance, copper hot, in each mode
// that feeds it.
func lowestInput(p *rules.Pass, id string) (lowest inputV, ok bool, err error) {
	for _, mode := range p.Circuit.States() {
		before := p.Circuit.Solve(circuit.Case{Mode: mode})
		state := demand.Weak(mode).WithCopper(p.Spec.Policy.TerminalMaxC)
		s := p.Circuit.Solve(state)
		for _, x := range []*circuit.Solution{before, s} {
			if err := settled(x, id+".in"); err != nil {
				return inputV{}, false, err
			}
		}
		if !runs(before, id) {
			continue
		}
		at := inputV{v: acrossInput(s, id), mode: mode, state: state, stops: !runs(s, id)}
		if !ok || at.stops && !lowest.stops || at.stops == lowest.stops && at.v < lowest.v {
			lowest, ok = at, true
		}
	}
	return lowest, ok, nil
}

// highestInput finds the highest working voltage at a converter's input: pack
// at the end of charge, in each mode, regeneration and charging included. The
// path is that of a source whose own maximum is higher still.
func highestInput(p *rules.Pass, id string) (highest inputV, path string, ok bool, err error) {
	take := func(v float64, state circuit.Case, from string) {
		if v > fedV && v > highest.v {
			highest, path, ok = inputV{v: v, mode: state.Mode, state: state}, from, true
		}
	}
	closed := demand.Full("")
	closed.AllClosed, closed.NoDraw, closed.NoLoads = true, true, true
	s := p.Circuit.Solve(closed)
	if s.Settled(id + ".in") {
		take(acrossInput(s, id), closed, "")
	}
	for _, mode := range p.Circuit.States() {
		state := demand.Full(mode).WithCopper(p.Spec.Vehicle.AmbientC.Max)
		s := p.Circuit.Solve(state)
		if err := settled(s, id+".in"); err != nil {
			return inputV{}, "", false, err
		}
		take(acrossInput(s, id), state, "")
	}
	// A charger goes on up to its own limit when the battery disconnects.
	in := p.Circuit.Edge(id + ".in")
	for cid, charger := range schema.Sorted(p.Spec.Chargers) {
		e := p.Circuit.Edge(cid)
		if !charger.Spare && !p.Circuit.Out(cid) && samePoles(p.Circuit, e, in) {
			take(charger.MaxV, circuit.Case{}, charger.Path()+".max_V")
		}
	}
	return highest, path, ok, nil
}

// samePoles reports whether two elements can be connected pole to pole by closed
// metal.
func samePoles(n *circuit.Network, a, b *circuit.Edge) bool {
	return n.MetalJoins(a.From, b.From) && n.MetalJoins(a.To, b.To)
}

// showInput adds a solved input voltage to a working.
func showInput(c *rules.Check, symbol, what string, at inputV) {
	ref := at.state.String()
	if at.mode != "" {
		ref = inMode(at.state)
	}
	c.Solved(symbol, what, at.v, "V", ref)
}

// inMode says in words which state a solved value belongs to.
func inMode(k circuit.Case) string { return k.String() + ", mode " + k.Mode }
