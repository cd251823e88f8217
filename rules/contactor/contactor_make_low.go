package contactor

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/calc"
	"example.org/headroom/rules/circuit"
	"example.org/headroom/schema"
)

func contactorMakeLow() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-make-low",
		Family: family,
		Title:  "a contact closes on more current than it may",
		Why: "Empty capacitors are a short circuit for a millisecond. Contacts that bounce while they carry a thousand amperes weld: " +
			"the contactor closes once and never opens again.",
		Relation: "(V_max - v(t)) / R_loop <= make_A, v(t) being what the pre-charge has put on the capacitors when the contact closes, V_max / R_loop without one; " +
			"motors count with their stalled current, filament lamps with ten times their own",
		Source:   "circuit theory; the battery at its least resistance, inductance left out, which errs to the safe side; multiples for motors and lamps from relay application notes",
		Level:    rules.Error,
		Required: 1,
		Fix:      "add a pre-charge, give it more time before the contact closes, or use a contact with a higher making capacity",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "contactors.main_contactor.closes_after_s", Value: "0.3"}}},
		Check: checkMake,
	}
}

func checkMake(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onContact(p, d); ok {
			judgeMake(c, p, d)
		}
	}
}

// closing is what a contact closes on.
type closing struct {
	contact    *circuit.Edge
	round      []*circuit.Edge // the way round the contact, nil if there is none
	open       string          // contacts on that way
	capacitors []*circuit.Edge // consumers with capacitors that the contact connects
	loads      []*circuit.Edge
	resisted   bool // they are connected through a resistor
}

func judgeMake(c *rules.Check, p *rules.Pass, d device) {
	k := d.closing(p)
	if !d.contact.MakeA.Known {
		c.NotChecked(d.contactPath("make_A"), "%s states no current that its contact may close on", d.id)
		return
	}
	inrush, ok := 0.0, true
	if len(k.capacitors) > 0 {
		inrush, ok = d.capacitorInrush(c, p, k)
	}
	if !ok {
		return
	}
	loads, ok := d.loadInrush(c, p, k)
	if !ok {
		return
	}
	making := c.Given("I_m", "current that the contact may close on", d.contact.MakeA.Value, "A", d.contactPath("make_A"))
	c.AtMost(amperes(inrush+loads), amperes(making), "%s closes on %s A; it may close on %s A", d.id, figure(inrush+loads), figure(making))
}

// closing finds what a contact connects when it closes, with the contacts on
// the way round it still open.
func (d device) closing(p *rules.Pass) closing {
	k := closing{contact: d.contacts[0]}
	k.round = p.Circuit.Bypass(k.contact.ID)
	var open []string
	for _, e := range k.round {
		if e.Kind == circuit.ContactEdge {
			open = append(open, e.ID)
		}
	}
	k.open = strings.Join(open, " ")
	for _, resistors := range []bool{false, true} {
		before := &cutoff{p: p, open: map[string]bool{k.contact.ID: true}, resistors: resistors}
		after := &cutoff{p: p, open: map[string]bool{}, resistors: resistors}
		for _, id := range open {
			before.open[id], after.open[id] = true, true
		}
		for _, e := range p.Circuit.Edges {
			if !isConsumer(e) || e.Kind == circuit.CoilEdge || after.path(e) == nil || before.path(e) != nil {
				continue
			}
			if e.Kind == circuit.LoadEdge {
				k.loads = append(k.loads, e)
			} else {
				k.capacitors = append(k.capacitors, e)
			}
		}
		if k.resisted = resistors; len(k.capacitors)+len(k.loads) > 0 {
			break
		}
	}
	return k
}

// capacitorInrush adds the first current into the capacitors to the working,
// and returns it; or it reports that this could not be found.
func (d device) capacitorInrush(c *rules.Check, p *rules.Pass, k closing) (a float64, ok bool) {
	if missing, known := p.Circuit.ResistanceKnown(k.contact.From); !known {
		c.NotChecked(missing, "the current into the capacitors behind %s is limited by the battery's resistance", d.id)
		return 0, false
	}
	v, found := d.fullV(p, c.Working)
	loop := math.Inf(1)
	for _, e := range k.capacitors {
		if f, ok := p.Circuit.Fault(e.From, e.To, circuit.FaultCase{Greatest: true, Open: k.open}); ok && f.BatteriesA != 0 {
			loop = min(loop, v/math.Abs(f.BatteriesA))
		}
	}
	if !found || math.IsInf(loop, 1) {
		c.NotChecked("a source for the contact of "+d.id, "no source feeds what %s connects", d.id)
		return 0, false
	}
	left := v
	if !k.resisted {
		if left, ok = d.leftByPrecharge(c, p, k, v); !ok {
			return 0, false
		}
	}
	c.Solved("R_loop", "resistance of the loop through "+d.id, 1000*loop, "mOhm", "least battery resistance, conductors at the lowest ambient")
	a, err := calc.InrushA(left, 0, loop)
	if err != nil {
		c.NotChecked("a loop through "+d.id, "the inrush cannot be computed: %v", err)
		return 0, false
	}
	return c.Calc("I_0", "first current into the capacitors", "dV / R_loop", figure(left)+" / ("+figure(1000*loop)+" / 1000)", a, "A"), true
}

// leftByPrecharge adds the voltage that is left across the contact when it
// closes to the working, and returns it; or it reports why it cannot be told.
func (d device) leftByPrecharge(c *rules.Check, p *rules.Pass, k closing, v float64) (left float64, ok bool) {
	resistor := ""
	for _, e := range k.round {
		if e.Kind == circuit.ResistorEdge {
			resistor = e.Part
		}
	}
	state, charging := d.prechargeState(p, k)
	if resistor == "" || !charging {
		return c.Calc("dV", "voltage left across the contact: nothing charges the capacitors first", "V_w", figure(v), v, "V"), true
	}
	charge, ok := d.charging(c, p, k, resistor, v)
	if !ok {
		return 0, false
	}
	final, err := charge.FinalV()
	tau, err2 := charge.TimeConstantS()
	after, err3 := charge.VoltageAfter(d.delay.Value)
	if err != nil || err2 != nil || err3 != nil {
		c.NotChecked("resistors."+resistor, "the pre-charge through %s cannot be computed", resistor)
		return 0, false
	}
	if who, amps := disturbance(p, k, state, final/v); who != "" {
		c.NotChecked("a pre-charge without "+who, "%s draws %s A while the capacitors behind %s charge through %s, so that they do not charge as a capacitor and a resistor do",
			who, figure(amps), d.id, resistor)
		return 0, false
	}
	c.Calc("V_f", "voltage on which the capacitors settle", "V_w R_b / (R_b + R_s), or V_w without a bleed resistor", d.settleNumbers(charge), final, "V")
	c.Calc("tau", "time constant", "C R_s R_b / (R_b + R_s), or C R_s", figure(1e6*charge.CapacitanceF)+"e-6 * "+figure(charge.SeriesOhm)+share(charge), tau, "s")
	c.Given("t", "from the beginning of the pre-charge to closing", d.delay.Value, "s", d.base.Path()+".closes_after_s")
	c.Calc("v", "voltage of the capacitors then", "V_f (1 - exp(-t / tau))",
		figure(final)+" * (1 - exp(-"+figure(d.delay.Value)+" / "+figure(tau)+"))", after, "V")
	return c.Calc("dV", "voltage left across the contact", "V_w - v", figure(v)+" - "+figure(after), v-after, "V"), true
}

func (d device) settleNumbers(k calc.Charging) string { return figure(k.SourceV) + share(k) }

func share(k calc.Charging) string {
	if k.BleedOhm == 0 {
		return ""
	}
	return " * " + figure(k.BleedOhm) + " / (" + figure(k.BleedOhm) + " + " + figure(k.SeriesOhm) + ")"
}

// charging collects the numbers of a pre-charge; or it reports which is missing.
func (d device) charging(c *rules.Check, p *rules.Pass, k closing, resistor string, v float64) (calc.Charging, bool) {
	r := p.Spec.Resistors[resistor]
	if !d.delay.Known {
		c.NotChecked(d.base.Path()+".closes_after_s", "how far the pre-charge has come when %s closes depends on its delay", d.id)
		return calc.Charging{}, false
	}
	out := calc.Charging{SourceV: v, SeriesOhm: c.Given("R_s", "resistance of "+resistor, r.ResistanceOhm, "Ohm", r.Path()+".resistance_Ohm")}
	var bleedS float64
	for _, e := range k.capacitors {
		farads, path := capacitance(p, e)
		if !farads.Known {
			c.NotChecked(path, "how fast the pre-charge of %s goes depends on the capacitance of %s", d.id, e.Part)
			return calc.Charging{}, false
		}
		out.CapacitanceF += c.Given("C", "capacitance of "+e.Part, farads.Value, "uF", path) / 1e6
		if controller, ok := p.Spec.Controllers[e.Part]; ok && controller.BleedKOhm.Known {
			bleedS += 1 / (1000 * c.Given("R_b", "bleed resistor of "+e.Part, controller.BleedKOhm.Value, "kOhm", controller.Path()+".bleed_kOhm"))
		}
	}
	if bleedS > 0 {
		out.BleedOhm = 1 / bleedS
	}
	return out, true
}

func capacitance(p *rules.Pass, e *circuit.Edge) (farads schema.Number, path string) {
	if k, ok := p.Spec.Controllers[e.Part]; ok {
		return k.CapacitanceUF, k.Path() + ".capacitance_uF"
	}
	k := p.Spec.Converters[e.Part]
	return k.Input.CapacitanceUF, k.Path() + ".input.capacitance_uF"
}

// prechargeState is the circuit while a device waits for the pre-charge, in the
// first mode that energises it, and whether anything charges the capacitors.
func (d device) prechargeState(p *rules.Pass, k closing) (*circuit.Solution, bool) {
	for _, f := range d.feeds(p) {
		s := p.Circuit.Solve(circuit.Case{Mode: f.mode, Start: circuit.FromOpen, NoDraw: true, Waiting: d.id, Pack: circuit.Highest})
		if s.Failed == "" {
			return s, settled(s, k) > 0.01
		}
	}
	return nil, false
}

// settled is the share of its source's voltage that the first capacitor
// settles on in a solved state.
func settled(s *circuit.Solution, k closing) float64 {
	e := k.capacitors[0]
	if !s.Together(e.From, e.To) {
		return 0
	}
	// The contact may be in either side: its far end is a pole of the source.
	var supply float64
	for _, end := range []circuit.Node{k.contact.From, k.contact.To} {
		if s.Together(end, e.To) {
			supply = max(supply, math.Abs(s.V(end)-s.V(e.To)), math.Abs(s.V(e.From)-s.V(end)))
		}
	}
	if supply == 0 {
		return 0
	}
	return math.Abs(s.V(e.From)-s.V(e.To)) / supply
}

// disturbance names what draws a current during the pre-charge other than bleed
// resistors, if it moves the settled voltage by more than two percent.
func disturbance(p *rules.Pass, k closing, s *circuit.Solution, want float64) (who string, a float64) {
	if math.Abs(settled(s, k)-want) < 0.02 && len(s.Chatter) == 0 {
		return "", 0
	}
	who = "a second consumer"
	for _, e := range slices.Concat(k.capacitors, k.loads) {
		if i := math.Abs(s.Current(e.ID)); i > a {
			who, a = e.Part, i
		}
	}
	return who, a
}

// loadInrush adds what the loads behind a contact draw at first to the working,
// in the mode in which that is most, and returns it.
func (d device) loadInrush(c *rules.Check, p *rules.Pass, k closing) (a float64, ok bool) {
	var worst []inrush
	for _, mode := range p.Circuit.Modes() {
		s := p.Circuit.Solve(circuit.Case{Mode: mode, Pack: circuit.Highest})
		if s.Failed != "" {
			unsolved(c, s)
			return 0, false
		}
		var list []inrush
		for _, e := range k.loads {
			if i := math.Abs(s.Current(e.ID)); i > 0 {
				list = append(list, inrush{p.Spec.Loads[e.Part], mode, i})
			}
		}
		if sum(list) > sum(worst) {
			worst = list
		}
	}
	for _, l := range worst {
		l.step(c)
	}
	return sum(worst), true
}

// inrush is what a load draws at first, and for good, in a mode.
type inrush struct {
	load    *schema.Load
	mode    string
	runsAtA float64
}

// Multiples of its running current that a load draws at first. Source: relay
// application notes (motors 6; filament lamps 10 to 15).
const (
	motorInrush    = 6
	filamentInrush = 10
)

func (l inrush) a() float64 {
	switch {
	case l.load.LoadKind == "motor" && l.load.StallA.Known:
		return l.load.StallA.Value
	case l.load.LoadKind == "motor":
		return motorInrush * l.runsAtA
	case l.load.LoadKind == "filament":
		return filamentInrush * l.runsAtA
	}
	return l.runsAtA
}

func (l inrush) step(c *rules.Check) {
	id := l.load.ID
	if l.load.LoadKind == "motor" && l.load.StallA.Known {
		c.Given("I_l", "stalled current of "+id, l.load.StallA.Value, "A", l.load.Path()+".stall_A")
		return
	}
	i := c.Solved("I", "current of "+id, l.runsAtA, "A", "mode "+l.mode+", pack full")
	if m := l.a() / l.runsAtA; m != 1 {
		k := c.Standard("k", "multiple of it at first, "+l.load.LoadKind, m, "", "relay application notes")
		c.Calc("I_l", "first current of "+id, "k I", figure(k)+" * "+figure(i), l.a(), "A")
	}
}

func sum(list []inrush) (a float64) {
	for _, l := range list {
		a += l.a()
	}
	return a
}
