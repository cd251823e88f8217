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
		Title:  "metal joins the two poles of a battery",
		Why: "An end on the wrong pole makes a conductor a short circuit of the battery: thousands of amperes as soon as the last lug is bolted or the " +
			"switch is closed, an arc, molten copper, and a battery that cannot be disconnected. In a specification it is mostly one wrong " +
			"terminal, and every other figure is about that current then.",
		Relation: "neither in a mode nor with all switches open does metal (conductors, fuses, shunts, contacts) lead from a positive pole of a battery, or of a string of them, to its negative one",
		Source:   "circuit theory",
		Level:    rules.Error,
		Fix:      "correct the end of the conductor that joins the poles",
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
		judgeShorted(c, p, list)
	}
}

func judgeShorted(c *rules.Check, p *rules.Pass, list circuit.SeriesString) {
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
	for _, mode := range p.Circuit.Modes() {
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
			when := "whatever is switched"
			if now.mode != "" {
				when = "in mode " + now.mode
			}
			c.In(now.mode, "")
			switch wrong := odd(p.Circuit, path, list); len(wrong) {
			case 0:
			case 1:
				c.Culprit(wrong[0]) // what its current does to all else is no fault of that
				c.Related(p.Spec.Conductor(wrong[0]).Path(), "the conductor that does not belong there")
				c.Fix("take %s away, or correct the end that is on the wrong pole", wrong[0])
			default:
				c.Fix("correct the end of one of %s that is on the wrong pole", strings.Join(wrong, ", "))
			}
			c.Fail("%s %s shorted %s: metal joins the poles by way of %s", list.Name(), areOrIs(list), when, strings.Join(names, " - "))
			return
		}
	}
	if len(states) == 1 {
		c.NotChecked("modes", "no conductor joins the poles of %s by itself; no mode of use says which switches are closed", list.Name())
		return
	}
	c.Holds(true, "no metal joins the poles of %s", list.Name())
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
			switch x.Kind {
			case circuit.ControllerEdge, circuit.ConverterInput, circuit.LoadEdge, circuit.CoilEdge, circuit.ChargerEdge, circuit.MeterEdge:
				if pos.Has(x.From) && neg.Has(x.To) {
					fed++
				}
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
