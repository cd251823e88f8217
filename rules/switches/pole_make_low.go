package switches

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func poleMakeLow() *rules.Rule {
	return &rules.Rule{
		ID:     "pole-make-low",
		Family: family,
		Title:  "the pole of a switch closes on more current than its making capacity",
		Why: "Cold filaments, motors at standstill, coils that pull in and above all empty capacitors draw many times their running current at first. " +
			"Contacts bounce while it flows, and weld: the key turns, and nothing switches off.",
		Relation: "inrush current of all that the pole feeds in a mode <= make_A, or without it carry_A: filament lamps ten times their running current, motors stall_A or six times it, " +
			"coils with an economiser pickup_A, the capacitors of a controller the first peak of a series RLC circuit. Lamps within lamp_A and motors within motor_A " +
			"count with their running current, for those ratings include the inrush. The capacitors of converters are another rule's, converter-inrush-high",
		Source:   "relay application notes for lamps and motors; circuit theory for capacitors, 1 uH per metre of a pair of cables being common practice",
		Level:    rules.Warning,
		Varies:   "error for what cuts off the coil of a contactor or an enable input: welded, it no longer does",
		Required: 1,
		Vital: []string{
			"switches.poles.make_A", "controllers.capacitance_uF", "converters.input.capacitance_uF",
			"batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "use a switch with a higher making capacity, or let it switch a relay or contactor with a pre-charge",
		Example: rules.Example{Vehicle: "heron", Subject: "turn_switch.turn", Edits: []rules.Edit{
			{Path: "switches.turn_switch.poles.turn.lamp_A"},
			{Path: "switches.turn_switch.poles.turn.make_A", Value: "25"}}},
		Check: check(evalPoleMake),
	}
}

// first is what one consumer draws at first.
type first struct {
	edge    *circuit.Edge
	runsA   float64
	factor  float64 // 1 where it starts with its own current
	a       float64
	given   string // path of a declared first current, "" where it is a multiple
	charges *schema.Controller
}

// making is what a pole closes on in a mode.
type making struct {
	mode string
	at   circuit.Case
	list []first
	sumA float64
}

func evalPoleMake(c *rules.Check, p *rules.Pass, k pole) {
	graver(c, p, k.sw.ID)
	list, ok := uses(c, p, k.id, k.set())
	if !ok {
		return
	}
	var worst *making
	for _, u := range list {
		if m := k.making(p, u); worst == nil || m.sumA > worst.sumA*(1+1e-9) {
			worst = &m
		}
	}
	c.In(worst.mode, worst.at.String())
	peak := 0.0
	var terms []string
	for _, f := range worst.list {
		if f.a > 0 {
			terms = append(terms, rules.Term(f.a))
		}
		if f.charges == nil {
			f.step(c, worst.at.String())
			continue
		}
		a, ok := k.charging(c, p, f.charges)
		if !ok {
			return
		}
		peak += a
		terms = append(terms, rules.Term(a))
	}
	sum := c.Calc("I_0", "inrush current of all that "+k.id+" feeds", "sum", cmp.Or(strings.Join(terms, " + "), "0"), worst.sumA+peak, "A")
	making, word, what, path := k.MakeA, "making capacity", "making capacity", k.path("make_A")
	if !making.Known {
		making, word, what, path = k.CarryA, "rated", "rated current; making capacity is not given", k.path("carry_A")
	}
	if !making.Known || !k.MakeA.Known && sum > making.Value {
		c.NotChecked(k.path("make_A"), "%s: closes on %s A in mode %s, making capacity is not given; fill in make_A from its data sheet", k.id, rules.Figure(sum), worst.mode)
		return
	}
	limit := c.Given("I_m", what, making.Value, "A", path)
	if sum > limit && slices.ContainsFunc(worst.list, func(f first) bool { return f.a > f.runsA && p.Spec.Loads[f.edge.Part] != nil }) {
		c.Because(poleLoadKindLowID, k.id) // what is too small for lamps and motors closes on too much of them
	}
	c.Fix("use a switch with a making capacity of at least %s A", rules.Figure(rules.RoundUp(p.Required()*sum, 0.1)))
	c.AtMost(rules.Amperes(sum), rules.Amperes(limit), "%s: closes on %s A in mode %s, %s %s A", k.id, rules.Figure(sum), worst.mode, word, rules.Figure(limit))
}

// making lists what the pole feeds in a mode, in the corner of its greatest
// current.
func (k pole) making(p *rules.Pass, u demand.Use) making {
	m := making{mode: u.Mode.ID, at: u.At}
	s := p.Circuit.Solve(m.at)
	for _, e := range p.Circuit.Behind(s, k.set()...) {
		f := k.first(p, e, math.Abs(s.Current(e.ID)))
		m.list = append(m.list, f)
		m.sumA += f.a
	}
	return m
}

// first is what a consumer draws at first when the pole closes.
func (k pole) first(p *rules.Pass, e *circuit.Edge, runsA float64) first {
	f := first{edge: e, runsA: runsA, factor: 1, a: runsA}
	switch x := p.Spec.Part(e.Part).(type) {
	case *schema.Load:
		switch {
		case runsA == 0:
		case x.LoadKind == "filament" && k.multiplies(k.LampA):
			f.factor = calc.LoadKind(x.LoadKind).Inrush().Value
		case x.LoadKind == "motor" && k.multiplies(k.MotorA) && x.StallA.Known:
			f.a, f.given = x.StallA.Value, x.Path()+".stall_A"
		case x.LoadKind == "motor" && k.multiplies(k.MotorA):
			f.factor = calc.LoadKind(x.LoadKind).Inrush().Value
		}
	case *schema.Contactor:
		f.pickup(&x.Coil, x.Path())
	case *schema.Relay:
		f.pickup(&x.Coil, x.Path())
	case *schema.Controller:
		if e.Kind == circuit.ControllerEdge && !x.InternalPrecharge {
			f.charges, f.a = x, 0 // it draws nothing before its capacitors are full
		}
	}
	f.a *= f.factor
	return f
}

// multiplies reports whether loads of a kind count with their first current: not
// where the pole has a rating for them, which includes it, nor where it has no
// making capacity to compare with; then the rating by kind of load covers them.
func (k pole) multiplies(rated schema.Number) bool { return !rated.Known && k.MakeA.Known }

// pickup takes the current of an economiser coil while it pulls in.
func (f *first) pickup(coil *schema.Coil, path string) {
	if coil.Drive == "economiser" && coil.PickupA.Or(0) > f.runsA {
		f.a, f.given = coil.PickupA.Value, path+".coil.pickup_A"
	}
}

func (f first) step(c *rules.Check, ref string) {
	switch {
	case f.given != "":
		c.Given("I_"+f.edge.Part, "inrush current of "+f.edge.Part, f.a, "A", f.given)
	case f.factor != 1:
		i := c.Solved("i_"+f.edge.Part, "current of "+f.edge.Part, f.runsA, "A", ref)
		k := c.Standard("k", "inrush multiple", f.factor, "", "relay application notes")
		c.Calc("I_"+f.edge.Part, "inrush current of "+f.edge.Part, "k i", rules.Term(k)+" * "+rules.Term(i), f.a, "A")
	case f.a > 0:
		c.Solved("I_"+f.edge.Part, "current of "+f.edge.Part, f.a, "A", ref)
	}
}

// charging adds the first peak into the capacitors of a controller that the pole
// feeds itself, and returns it. It reports the check as not made, and false,
// where that is not known.
func (k pole) charging(c *rules.Check, p *rules.Pass, x *schema.Controller) (float64, bool) {
	loop, ok := p.Circuit.LoopTo(p.Circuit.Edge(x.ID), nil)
	if !ok {
		return 0, true
	}
	if !x.CapacitanceUF.Known {
		c.NotChecked(x.Path()+".capacitance_uF", "%s closes on the capacitors of %s, whose capacitance is not given", k.id, x.ID)
		return 0, false
	}
	return charging.Onto(p, loop, p.Circuit.Edge(x.ID)).Inrush(c, p)
}
