package wiring

import (
	"math"
	"slices"
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

// behind is the load side of an open pole.
type behind struct {
	pole, mode string
	v          float64
	state      *circuit.Solution
	feed, load circuit.Node // the two sides of the pole
}

// evalKeyOff looks for the pole with the highest voltage on its load side with the key open.
func evalKeyOff(c *rules.Check, p *rules.Pass, id string, key *schema.Switch, open string) {
	var worst behind
	for _, m := range p.Circuit.Modes() {
		for _, k := range []circuit.Case{demand.Nominal(m), demand.Alone(m)} {
			k.Open, k.NoDraw = open, true
			s := p.Circuit.Solve(k)
			for pole := range schema.Sorted(key.Poles) {
				if b := loadSide(p.Circuit, s, id, pole); b.v > worst.v {
					worst = b
				}
			}
		}
	}
	c.Solved("V", "highest voltage on the load side of the open key", worst.v, "V", "every mode with the key open, contacts starting closed")
	limit := c.Default("V_live", "voltage above which it counts as live", p.Spec.Policy.LiveV, "V", "policy.live_V")
	if worst.v <= limit {
		c.Holds(true, "%s: everything on its load side is dead with the key off", id)
		return
	}
	around := worst.around(p, id)
	for _, x := range around {
		c.Related(pathOf(p.Spec, x), "feeds the load side of the open key")
	}
	fixKeyOff(c, p, id+"."+worst.pole, around)
	c.In(worst.mode, "key open").Fail("%s: pole %s stays live, %s V on its load side with the key off in mode %s, limit %s V%s",
		id, worst.pole, rules.Figure(worst.v), worst.mode, rules.Figure(limit), through(around))
}

// fixKeyOff says what to do about a second feed, by what it goes through.
func fixKeyOff(c *rules.Check, p *rules.Pass, pole string, around []string) {
	for _, id := range around {
		switch p.Spec.Part(id).(type) {
		case *schema.Load, *schema.Resistor, *schema.Meter:
			c.Fix("connect %[1]s from the load side of %[2]s to the return, or feed it by a pole of its own, so that it is not across the open key", id, pole)
			return
		case *schema.Diode:
			c.Fix("remove %s, or turn it around so that it blocks towards the load side of %s", id, pole)
			return
		}
	}
	if len(around) > 0 {
		c.Fix("remove the second feed through %s from the load side of %s, or feed what it supplies by a pole of its own", strings.Join(around, ", "), pole)
	}
}

// around names what leads past the open key to the load side of the pole, from where
// the way leaves that of the key's own feed: parts, or conductors where it is of these
// alone; none where it is not found.
func (b behind) around(p *rules.Pass, key string) []string {
	for _, downhill := range []bool{true, false} { // the feed is positive, or negative
		cost := b.leads(key, downhill)
		for _, source := range p.Circuit.Sources() {
			start := source.Pos
			if !downhill {
				start = source.Neg
			}
			path := p.Circuit.Path(start, b.load, cost)
			own := p.Circuit.Path(start, b.feed, cost)
			path = slices.DeleteFunc(path, func(e *circuit.Edge) bool { return slices.Contains(own, e) })
			if len(path) > 0 {
				return partsOf(path)
			}
		}
	}
	return nil
}

// partsOf lists the parts of a path, or its conductors where it is of these alone.
func partsOf(path []*circuit.Edge) []string {
	var parts, conductors []string
	for _, e := range path {
		list := &parts
		if e.IsConductor() {
			list = &conductors
		}
		if !slices.Contains(*list, e.Part) {
			*list = append(*list, e.Part)
		}
	}
	if len(parts) == 0 {
		return conductors
	}
	return parts
}

// leads is a cost for Path over what current flows through from a feed to the load
// side of an open pole: with falling voltage from a positive feed, or rising voltage
// from a negative one.
func (b behind) leads(key string, downhill bool) func(*circuit.Edge, circuit.Node) (float64, bool) {
	const rounding = 1e-6 // V
	s := b.state
	return func(e *circuit.Edge, enter circuit.Node) (float64, bool) {
		leave := e.Other(enter)
		drop := 0.0
		if s.Together(enter, leave) {
			drop = s.V(enter) - s.V(leave)
		}
		if !downhill {
			drop = -drop
		}
		switch e.Kind {
		case circuit.SwitchEdge, circuit.ContactEdge:
			return 1, e.Part != key && s.Closed(e.ID)
		case circuit.BatteryEdge, circuit.ConverterInput, circuit.ConverterOutput, circuit.ChargerEdge:
			return 0, false
		case circuit.DiodeEdge:
			return 1, (enter == e.From) == downhill
		}
		if e.Conducts() {
			return 1, true
		}
		const last = 1000 // conductors come first
		return last, drop > -rounding
	}
}

// loadSide is the load side of an open pole with its voltage against the return of the
// source that its other side is fed from. The wiring tells which end is fed, or stands
// on the return; where both do, or neither, it is the one called a.
func loadSide(n *circuit.Network, s *circuit.Solution, id, pole string) behind {
	a, okA := n.Node(id + "." + pole + "_a")
	b, okB := n.Node(id + "." + pole + "_b")
	if !okA || !okB || !n.Connected(id+"."+pole+"_a") || !n.Connected(id+"."+pole+"_b") {
		return behind{}
	}
	on := func(source circuit.Source, feed, load circuit.Node) behind {
		return behind{pole, s.Case.Mode, behindV(n, s, source, feed, load), s, feed, load}
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
			return on(source, a, b)
		case fedB && !fedA:
			return on(source, b, a)
		}
	}
	if first == nil {
		return behind{}
	}
	low := n.StringOf(*first).Neg()
	if returnsPast(n, id, low, b) && !returnsPast(n, id, low, a) {
		return on(*first, b, a)
	}
	return on(*first, a, b)
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

// returnsPast reports whether a node returns to a negative pole through conductors and
// diodes other than the key itself, with all else closed.
func returnsPast(n *circuit.Network, key string, low, v circuit.Node) bool {
	return n.Reaches(low, v, func(e *circuit.Edge, enter circuit.Node) bool {
		return e.Part != key && circuit.Forward(e, e.Other(enter))
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
