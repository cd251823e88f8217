package wiring

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

func batteryShorted() *rules.Rule {
	return &rules.Rule{
		ID:     "battery-shorted",
		Family: family,
		Title:  "a battery is short-circuited by its wiring",
		Why: "A conductor on the wrong pole short-circuits the battery: thousands of amperes as soon as the last lug is bolted on or the " +
			"switch closed, an arc, molten copper, and a battery that cannot be disconnected. In a specification it is mostly one wrong " +
			"terminal, and until it is corrected every other result is about that current.",
		Relation: "neither in a mode nor with all switches open do conductors, fuses, shunts or contacts connect a positive pole of a battery, or of a string of batteries, to its negative pole",
		Source:   "circuit theory",
		Level:    rules.Error,
		Fix:      "reconnect the end of the conductor that is on the wrong pole",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "wires.w_wrong", Value: `{"from": "main.b", "to": "pack.neg", "size": "50 mm2", "length_m": 0.3}`}}},
		Check: checkShorted,
	}
}

func checkShorted(p *rules.Pass) {
	for _, list := range p.Circuit.Strings() {
		c := p.Subject(list[0].ID, list[0].Path)
		if p.Unsound(c, list[0].ID+".pos", list[0].ID+".neg") {
			continue
		}
		evalShorted(c, p, list)
	}
}

func evalShorted(c *rules.Check, p *rules.Pass, list circuit.SeriesString) {
	var poles [][2]circuit.Node // of the batteries, and of each part of the string
	for i := range list {
		for _, upper := range list[i:] {
			poles = append(poles, [2]circuit.Node{upper.Pos, list[i].Neg})
		}
	}
	type state struct {
		mode   string // "" for what no switch opens
		closed func(*circuit.Edge, circuit.Node) (float64, bool)
	}
	states := []state{{"", func(e *circuit.Edge, _ circuit.Node) (float64, bool) {
		return 1, e.Conducts() && e.Kind != circuit.SwitchEdge && e.Kind != circuit.ContactEdge
	}}}
	for _, mode := range p.Circuit.States() {
		states = append(states, state{mode, closedMetal(p.Circuit.Solve(circuit.Case{Mode: mode}))})
	}
	for _, now := range states {
		for _, ends := range poles {
			path := p.Circuit.Path(ends[0], ends[1], now.closed)
			if path == nil {
				continue
			}
			var names []string
			for _, e := range path {
				if n := len(names); n == 0 || names[n-1] != e.Part {
					names = append(names, e.Part)
				}
			}
			when := "with all switches open"
			if now.mode != "" {
				when = "in mode " + now.mode
			}
			c.In(now.mode, "")
			wrong := odd(p.Circuit, path, list)
			switch len(wrong) {
			case 0:
			case 1:
				c.Culprit(wrong[0]) // whatever its current upsets is no fault of its own
				c.Related(p.Spec.Conductor(wrong[0]).Path(), "the conductor that makes the short circuit")
				c.Fix("remove %s, or reconnect the end of it that is on the wrong pole", wrong[0])
			default:
				c.Fix("find which of %s has an end on the wrong pole, and reconnect it%s", strings.Join(wrong, ", "), missed(p))
			}
			joins := ""
			if len(wrong) == 1 {
				joins = wrong[0] + " joins plus to minus, "
			}
			c.Fail("%s %s short-circuited %s: %sthrough %s", list.Name(), areOrIs(list), when, joins, strings.Join(names, " - "))
			return
		}
	}
	if len(states) == 1 {
		c.NotChecked("modes", "%s %s not short-circuited with all switches open; no mode says which switches are closed", list.Name(), areOrIs(list))
		return
	}
	c.Holds(true, "%s %s not short-circuited in any mode", list.Name(), areOrIs(list))
}

// missed names the terminals to which nothing is connected, where one of them may be
// the one that a conductor on the wrong pole was meant for; "" if none or many.
func missed(p *rules.Pass) string {
	var free []string
	for id, part := range p.Spec.Parts() {
		for _, t := range part.Terminals() {
			if name := id + "." + t.Name; !t.Optional && !part.Common().Spare && !p.Circuit.Connected(name) {
				free = append(free, name)
			}
		}
	}
	if n := len(free); n == 0 || n > 2 {
		return ""
	}
	return " (nothing is connected to " + rules.And(free) + ")"
}

func areOrIs(list circuit.SeriesString) string {
	if len(list) > 1 {
		return "are"
	}
	return "is"
}

// odd lists the conductors of a short circuit without which most of what the
// battery feeds is still fed: a single one belongs to nothing. There are none if
// taking away no one conductor ends the short circuit.
func odd(n *circuit.Network, path []*circuit.Edge, list circuit.SeriesString) (wrong []string) {
	most := -1
	for _, e := range path {
		if !e.IsConductor() {
			continue
		}
		without := circuit.Without(circuit.AllClosed, e)
		pos, neg := n.Reach(without, list.Pos()), n.Reach(without, list.Neg())
		if list.Pos() != list.Neg() && pos.Has(list.Neg()) {
			continue
		}
		fed := 0
		for _, x := range n.Edges {
			if consumes(x) && pos.Has(x.From) && neg.Has(x.To) {
				fed++
			}
		}
		switch {
		case fed > most:
			wrong, most = []string{e.ID}, fed
		case fed == most:
			wrong = append(wrong, e.ID)
		}
	}
	return wrong
}
