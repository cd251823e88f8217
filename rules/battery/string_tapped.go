package battery

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func stringTapped() *rules.Rule {
	return &rules.Rule{
		ID:     "string-tapped",
		Family: family,
		Title:  "a consumer is fed from the middle of a battery string",
		Why: "A 12 V lamp on one battery of a 48 V string empties that one alone. The charger then stops by the voltage of the whole string, with that battery " +
			"never full and the others overcharged; on the road it is empty first and is driven into reverse by the others. And between the branch and " +
			"the other pole is the voltage of the rest of the string, for which 12 V fuses, switches and lamps are not rated.",
		Relation: "in every mode the two batteries on either side of a joint of a string carry the same current, to 1 mA and to a tenth of what a consumer draws there; measuring inputs and chargers do not count",
		Source:   "circuit theory (Kirchhoff's current law); that batteries in series are not tapped is common practice",
		Level:    rules.Error,
		Fix:      "feed the consumer from a converter across the whole string, or from a battery of its own",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.lower", Value: `{"role": "traction", "min_V": 11, "nominal_V": 12.8, "max_V": 14.6, "resistance_mOhm": 5}`},
			{Path: "wires.w_lower_link", Value: `{"from": "lower.neg", "to": "pack.pos", "size": "50 mm2", "length_m": 0.2}`},
			{Path: "wires.w_pack_fuse.from", Value: `"lower.pos"`},
			{Path: "loads.box_lamp", Value: `{"kind": "led", "power_W": 5, "at_V": 72, "min_V": 50, "max_V": 90}`},
			{Path: "wires.w_lamp_pos", Value: `{"from": "pack.pos", "to": "box_lamp.pos", "size": "1.5 mm2", "length_m": 0.5}`},
			{Path: "wires.w_lamp_neg", Value: `{"from": "box_lamp.neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.5}`},
			{Path: "modes.cruise.on", Value: `["box_lamp"]`}}},
		Check: checkStringTapped,
	}
}

func checkStringTapped(p *rules.Pass) {
	for _, s := range p.Circuit.Strings() {
		for i := range s[1:] {
			below, above := s[i], s[i+1]
			c := p.Subject(below.ID, below.Path)
			switch {
			case p.Unsound(c, below.ID+".pos", below.ID+".neg", above.ID+".pos", above.ID+".neg"):
			case len(p.Spec.Modes) == 0:
				c.NotChecked("modes", "no mode says what is fed from between %s and %s", below.ID, above.ID)
			default:
				checkTap(c, p, s, i)
			}
		}
	}
}

// alikeShare is the part of a consumer's current that counts as none where like
// consumers on either side balance each other (common practice: the tolerance of
// resistors, and batteries that differ as much as their resistances make them).
const alikeShare = 0.1

// tap is what consumers draw from a joint of a string in one state.
type tap struct {
	consumers []string
	greatestA float64 // the greatest current of a consumer
	belowA    float64 // discharge of the battery below the joint
	aboveA    float64
	at        circuit.Case
}

// a is the current that leaves the joint, in A.
func (t tap) a() float64 { return t.belowA - t.aboveA }

// checkTap looks for the state in which most is drawn from the joint above
// battery i of a string.
func checkTap(c *rules.Check, p *rules.Pass, s circuit.SeriesString, i int) {
	below, above := s[i], s[i+1]
	var worst tap
	for _, mode := range p.Circuit.States() {
		for _, k := range []circuit.Case{demand.Nominal(mode), demand.Alone(mode)} {
			solved := p.Circuit.Solve(k)
			if c.Unsettled(solved, below.ID, above.ID) {
				return
			}
			t := tap{belowA: -solved.Current(below.ID), aboveA: -solved.Current(above.ID), at: k}
			t.consumers, t.greatestA = tapping(p, solved, s, i)
			if math.Abs(t.a()) > max(demand.LeastA, alikeShare*t.greatestA) && len(t.consumers) > 0 && math.Abs(t.a()) > math.Abs(worst.a())*(1+1e-9) {
				worst = t
			}
		}
	}
	if len(worst.consumers) == 0 {
		c.Holds(true, "no consumer loads %s and %s unequally", below.ID, above.ID)
		return
	}
	emptied := s[:i+1]
	if worst.a() < 0 {
		emptied = s[i+1:]
	}
	c.In(worst.at.Mode, worst.at.String())
	c.Solved("I_below", "discharge current of "+below.ID, worst.belowA, "A", worst.at.String())
	c.Solved("I_above", "discharge current of "+above.ID, worst.aboveA, "A", worst.at.String())
	c.Calc("I_tap", "current drawn from between them", "I_below - I_above", rules.Term(worst.belowA)+" - "+rules.Term(worst.aboveA), worst.a(), "A")
	c.Related(above.Path, "on the other side of the joint")
	for _, id := range worst.consumers {
		c.Related(p.Spec.Part(id).Common().Path(), "fed from the joint")
	}
	c.Fail("%s from the middle of a string: %s A in mode %s drawn between %s and %s, so %s is discharged more than the rest",
		fed(worst.consumers), rules.Figure(math.Abs(worst.a())), worst.at.Mode, below.ID, above.ID, emptied.Name())
}

func fed(ids []string) string {
	if len(ids) == 1 {
		return ids[0] + " is fed"
	}
	return strings.Join(ids[:len(ids)-1], ", ") + " and " + ids[len(ids)-1] + " are fed"
}

// tapping lists what draws a current from the joint above battery i of a string
// in a state, and the greatest of these currents in A. There is none where a
// closed contact connects the joint to another one: the batteries are switched over
// then, and form no string.
func tapping(p *rules.Pass, s *circuit.Solution, list circuit.SeriesString, i int) (ids []string, greatestA float64) {
	reached := p.Circuit.Reach(func(e *circuit.Edge, enter circuit.Node) bool {
		return e.Kind == circuit.DiodeEdge || s.ClosedMetal(e, enter)
	}, list[i].Pos)
	for _, e := range p.Circuit.Edges {
		switch e.Kind {
		case circuit.LoadEdge, circuit.CoilEdge, circuit.ResistorEdge, circuit.ConverterInput, circuit.ControllerEdge, circuit.EnableEdge:
			if !reached.Has(e.From) && !reached.Has(e.To) {
				continue
			}
			a := math.Abs(s.Current(e.ID))
			if greatestA = max(greatestA, a); a > demand.LeastA && !slices.Contains(ids, e.Part) {
				ids = append(ids, e.Part)
			}
		}
	}
	for k, b := range list {
		if reached[b.Neg] && k != i+1 || reached[b.Pos] && k != i {
			return nil, 0
		}
	}
	slices.Sort(ids)
	return ids, greatestA
}
