package wiring

import (
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func keyOffBackfeed() *rules.Rule {
	return &rules.Rule{
		ID:     "key-off-backfeed",
		Family: family,
		Title:  "a circuit that the key switches off stays live through a second feed",
		Why: "An indicator lamp, diode or second supply on the load side of the key feeds its circuit with the key off: " +
			"lamps glow, electronics never sleep, and a contactor may stay closed.",
		Relation: "with every pole of the key open and contacts starting closed, no pole's load side has more than policy.live_V against the other pole of its network",
		Source:   "circuit theory",
		Level:    rules.Warning,
		Policy:   []string{"policy.live_V"},
		Fix:      "feed the second circuit from the load side of the key, or block the path with a diode",
		Example: rules.Example{Vehicle: "heron", Subject: "key", Edits: []rules.Edit{
			{Path: "wires.second_feed", Value: `{"from": "usb_fuse.b", "to": "key.house_b", "size": "1.5 mm2", "length_m": 0.4}`}}},
		Check: checkKeyOffBackfeed,
	}
}

func checkKeyOffBackfeed(p *rules.Pass) {
	for id, key := range schema.Sorted(p.Spec.Switches) {
		if key.Role != "key" || key.Spare {
			continue
		}
		c := p.Subject(id, key.Path())
		if p.Unsound(c, keyTerminals(id, key)...) {
			continue
		}
		var open []string
		for pole := range schema.Sorted(key.Poles) {
			open = append(open, id+"."+pole)
		}
		evalKeyOff(c, p, id, key, strings.Join(open, " "))
	}
}

func keyTerminals(id string, key *schema.Switch) []string {
	var names []string
	for pole := range schema.Sorted(key.Poles) {
		names = append(names, id+"."+pole+"_a")
	}
	return names
}

// evalKeyOff looks for the pole with the highest voltage on its load side with the key open.
func evalKeyOff(c *rules.Check, p *rules.Pass, id string, key *schema.Switch, open string) {
	worst, at, mode := 0.0, "", ""
	for _, m := range p.Circuit.Modes() {
		for _, k := range []circuit.Case{demand.Nominal(m), demand.Alone(m)} {
			k.Open, k.NoDraw = open, true
			s := p.Circuit.Solve(k)
			for pole := range schema.Sorted(key.Poles) {
				v := loadSideV(p.Circuit, s, id, pole)
				if v > worst {
					worst, at, mode = v, pole, m
				}
			}
		}
	}
	c.Solved("V", "highest voltage on the load side of the open key", worst, "V", "every mode with the key open, contacts starting closed")
	limit := c.Default("V_live", "voltage above which it counts as live", p.Spec.Policy.LiveV, "V", "policy.live_V")
	if worst > limit {
		c.In(mode, "key open").Fail("%s: pole %s stays live, %s V on its load side with the key off in mode %s, limit %s V", id, at, rules.Figure(worst), mode, rules.Figure(limit))
		return
	}
	c.Holds(true, "%s: everything on its load side is dead with the key off", id)
}

// loadSideV is the voltage behind an open pole against the return of the
// source that its other side is fed from. The wiring tells which end is fed;
// where both are, or neither, it is the one called a.
func loadSideV(n *circuit.Network, s *circuit.Solution, id, pole string) float64 {
	a, okA := n.Node(id + "." + pole + "_a")
	b, okB := n.Node(id + "." + pole + "_b")
	if !okA || !okB || !n.Connected(id+"."+pole+"_a") || !n.Connected(id+"."+pole+"_b") {
		return 0
	}
	var first *circuit.Source
	for _, source := range n.Sources() {
		if !n.SameNetwork(a, source.Pos) {
			continue
		}
		if first == nil {
			first = &source
		}
		high := n.StringOf(source).Pos()
		switch fedA, fedB := fedPast(n, id, high, a), fedPast(n, id, high, b); {
		case fedA && !fedB:
			return behindV(n, s, source, a, b)
		case fedB && !fedA:
			return behindV(n, s, source, b, a)
		}
	}
	if first == nil {
		return 0
	}
	return behindV(n, s, *first, a, b)
}

// behindV is the voltage at the load side of an open pole against the pole of a
// source that its feed does not come from. Of batteries in series the ends of
// their string count.
func behindV(n *circuit.Network, s *circuit.Solution, source circuit.Source, feed, load circuit.Node) float64 {
	list := n.StringOf(source)
	back := list.Neg()
	fromNeg := list.Neg() != feed && n.MetalJoins(list.Neg(), feed)
	if fromNeg && (list.Pos() == feed || !n.Reaches(list.Pos(), feed, s.ClosedMetal)) {
		back = list.Pos()
	}
	return math.Abs(s.Burdened(load, back, burdenOhm))
}

// fedPast reports whether a node is fed from a positive pole through conductors and diodes
// other than the key itself, with all else closed.
func fedPast(n *circuit.Network, key string, high, v circuit.Node) bool {
	return n.Reaches(high, v, func(e *circuit.Edge, enter circuit.Node) bool {
		return e.Part != key && circuit.Forward(e, enter)
	})
}

// closedMetal is a cost for Path over what conducts in a solution.
func closedMetal(s *circuit.Solution) func(*circuit.Edge, circuit.Node) (float64, bool) {
	return func(e *circuit.Edge, _ circuit.Node) (float64, bool) {
		if e.Kind == circuit.SwitchEdge || e.Kind == circuit.ContactEdge {
			return 1, s.Closed(e.ID)
		}
		return 1, e.Conducts()
	}
}
