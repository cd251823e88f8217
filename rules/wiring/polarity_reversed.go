package wiring

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func polarityReversed() *rules.Rule {
	return &rules.Rule{
		ID:     "polarity-reversed",
		Family: family,
		Title:  "a part with a polarity is connected in reverse",
		Why: "A controller, converter or LED lamp connected in reverse conducts through its input diodes or capacitors at once; " +
			"a coil with its suppression diode in reverse is a short circuit across the key switch.",
		Relation: "the voltage from the positive to the negative terminal is not negative in any mode; for a battery, not everything that its poles lead to " +
			"has the opposite polarity",
		Source: "circuit theory",
		Level:  rules.Error,
		Fix:    "swap the two conductors at the part, or reconnect the one that is on the wrong terminal",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "wires.w_converter_pos.to", Value: `"converter.in_neg"`},
			{Path: "wires.w_converter_neg.from", Value: `"converter.in_pos"`}}},
		Check: checkPolarityReversed,
	}
}

// reversedV is the least reverse voltage that counts: less is the drop along a
// return conductor.
const reversedV = 0.5

func checkPolarityReversed(p *rules.Pass) {
	checkBatteries(p)
	for id, part := range p.Spec.Parts() {
		for _, pair := range polarized(part) {
			pos, neg := id+"."+pair[0], id+"."+pair[1]
			if part.Common().Spare || !p.Circuit.Connected(pos) || !p.Circuit.Connected(neg) {
				continue // an unconnected terminal has a finding of its own
			}
			checkPolarity(p, id, part.Common().Path(), pos, neg)
		}
	}
}

func checkPolarity(p *rules.Pass, id, path, pos, neg string) {
	c := p.Subject(id, path)
	if p.Unsound(c, pos, neg) {
		return
	}
	worst, mode, supplied := 0.0, "", false
	var restless []*circuit.Solution // of which each is one of several states
	for _, k := range everyState(p.Circuit) {
		s := p.Circuit.Solve(k)
		if s.Failed != "" {
			continue // it says nothing, and has a finding of its own
		}
		// Where something chatters, each of its states does occur.
		if len(s.Chatter) > 0 {
			restless = append(restless, s)
		}
		v, ok := s.Across(pos, neg)
		if ok && (v > reversedV || v < -reversedV) {
			supplied = true
		}
		if ok && v < worst {
			worst, mode = v, k.Mode
		}
	}
	switch {
	case worst < -reversedV:
		switch p.Spec.Part(id).(type) {
		case *schema.Converter, *schema.Controller, *schema.Charger:
			c.Turned(id) // what it would do the right way round is no fault of its own
		}
		c.Solved("V", "voltage from "+pos+" to "+neg, worst, "V", "mode "+mode)
		c.In(mode, "").Fail("%s is connected in reverse polarity: %s V from %s to %s", id, rules.Figure(worst), pos, neg)
	case slices.ContainsFunc(restless, func(s *circuit.Solution) bool { return c.Unsettled(s, edgesOf(p, id)...) }):
	case !supplied:
		c.NotChecked("a mode that supplies "+id, "%s has no voltage across it in any mode", id)
	default:
		c.Holds(true, "%s is connected in the right polarity", id)
	}
}

// edgesOf lists the edges of a part.
func edgesOf(p *rules.Pass, id string) (ids []string) {
	for _, e := range p.Circuit.EdgesOf(id) {
		ids = append(ids, e.ID)
	}
	return ids
}

// everyState lists the modes, and the state in which everything is closed for
// what no mode supplies.
func everyState(n *circuit.Network) []circuit.Case {
	cases := []circuit.Case{{AllClosed: true}}
	for _, mode := range n.States() {
		cases = append(cases, circuit.Case{Mode: mode})
	}
	return cases
}

// polarized lists the pairs of terminals of a part that have a polarity.
func polarized(part schema.Part) [][2]string {
	switch part := part.(type) {
	case *schema.Converter:
		return [][2]string{{"in_pos", "in_neg"}}
	case *schema.Controller:
		return [][2]string{{"pos", "neg"}}
	case *schema.Charger, *schema.Timer:
		return [][2]string{{"pos", "neg"}}
	case *schema.Meter:
		return [][2]string{{"pos", "neg"}}
	case *schema.Load:
		if part.LoadKind == "led" || part.LoadKind == "electronic" || part.LoadKind == "motor" {
			return [][2]string{{"pos", "neg"}}
		}
	case *schema.Contactor:
		return polarizedCoil(&part.Coil)
	case *schema.Relay:
		return polarizedCoil(&part.Coil)
	}
	return nil
}

// polarizedCoil says whether a coil has a polarity: one with a diode or a driver
// of its own has.
func polarizedCoil(c *schema.Coil) [][2]string {
	switch {
	case c.Drive == "economiser", c.Suppression == "diode", c.Suppression == "diode+zener":
		return [][2]string{{"coil_pos", "coil_neg"}}
	}
	return nil
}
