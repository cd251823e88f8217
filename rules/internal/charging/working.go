package charging

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
)

// Problem says why something of a pre-charge cannot be told.
type Problem struct {
	Missing string // what it needs
	Message string
	Never   bool // because the contactor never closes: the pre-charge does not come so far

	chatters string // what finds no rest meanwhile, "" if all does
}

func problem(missing, format string, args ...any) *Problem {
	return &Problem{Missing: missing, Message: fmt.Sprintf(format, args...)}
}

// Report reports a check as not made for it.
func (t *Problem) Report(c *rules.Check) {
	if t.chatters != "" {
		c.Because("contact-chatters", t.chatters)
	}
	c.NotChecked(t.Missing, "%s", t.Message)
}

// finished reports why a run of the pre-charge has not come to its end.
func (a *Attempt) finished(c *circuit.Course) *Problem {
	switch {
	case c.Failed != "":
		return problem("a solution of the pre-charge in time", "pre-charge of %s: could not be computed: %s", a.Contactor.ID, c.Failed)
	case len(c.Chatter) > 0:
		who := c.Chatter[0]
		trouble := problem("a state of rest of mode "+a.Mode, "pre-charge of %s: %s goes on and off without end meanwhile", a.Contactor.ID, who)
		trouble.chatters = who
		return trouble
	}
	return nil
}

// known reports what must be known of a pre-charge and is not.
func (a *Attempt) known() *Problem {
	id := a.Contactor.ID
	switch {
	case a.Missing != "":
		return problem(a.Missing, "pre-charge of %s: depends on every capacitance that it charges, one is not given", id)
	case a.Never:
		return problem("a mode that energises "+id, "coil of %s: no mode energises it", id)
	case a.settled.Failed != "":
		return problem("a solution of mode "+a.Mode, "the circuit of mode %s could not be solved: %s", a.Mode, a.settled.Failed)
	}
	return nil
}

// ExplainLeft adds the voltage that is left across the contact when it closes, in
// V, to a working, and returns it: the supply v in V less what the
// pre-charge has put on the capacitors.
func (a *Attempt) ExplainLeft(p *rules.Pass, w *rules.Working, v float64) (left float64, trouble *Problem) {
	id := a.Contactor.ID
	switch trouble = a.known(); {
	case trouble != nil:
		return 0, trouble
	case !a.Premise.Made() && !a.Plain():
		w.Standard("t", "from the beginning of the pre-charge to closing", 0, "s", "nothing makes a delay: "+id+" closes on empty capacitors")
		return w.Calc("dV", "voltage left across the contact", "V_w", rules.Term(v), v, "V"), nil
	case !a.Waits():
		return 0, problem(a.Contactor.Path()+".closes_after_s", "pre-charge of %s: how far it has come at closing depends on the delay, which is not given", id)
	case a.Plain() && a.awaits() == nil:
		after, err := a.explainAfter(p, w, v)
		if err != nil {
			return 0, problem(a.Resistors[0].Path(), "pre-charge of %s: cannot be computed: %v", id, err)
		}
		return a.explainDip(p, w, w.Calc("dV", "voltage left across the contact", "V_w - v", rules.Term(v)+" - "+rules.Term(after), v-after, "V")), nil
	}
	c := a.Run(p, circuit.Highest)
	if trouble = a.finished(c); trouble != nil {
		return 0, trouble
	}
	before, closes, ok := a.closing(c)
	if !ok {
		trouble = problem("a pre-charge that comes to its end", "%s never closes: its capacitors do not reach the voltage that it waits for", id)
		trouble.Never = true
		return 0, trouble
	}
	across, _ := before.Across(id+".a", id+".b")
	if k := a.awaits(); k != nil {
		_, path := a.Contactor.Awaits()
		w.Given("x", "share of the supply at which "+id+" closes", k.Percent, "%", path)
	}
	w.Solved("t", "when "+id+" closes", closes, "s", a.Ref(p, circuit.Highest))
	return a.explainDip(p, w, w.Solved("dV", "voltage left across the contact then", math.Abs(across), "V", a.Ref(p, circuit.Highest))), nil
}

// Ref says in a working what a run of time is.
func (a *Attempt) Ref(p *rules.Pass, pack circuit.Supply) string {
	ref := "pre-charge in time from empty capacitors, mode " + a.Mode + ", " + a.corner(pack, false).String()
	if who, amperes := a.Draw(p, pack); who != "" {
		ref += fmt.Sprintf("; %s draws up to %s A meanwhile", who, rules.Figure(amperes))
	}
	return ref
}

// ExplainParts adds resistance, capacitance and bleed of a plain pre-charge to a working.
func (a *Attempt) ExplainParts(p *rules.Pass, w *rules.Working) {
	for _, r := range a.Resistors {
		w.Given("R_s", "resistance of "+r.ID, r.ResistanceOhm, "Ohm", r.Path()+".resistance_Ohm")
	}
	var terms string
	for i, e := range a.Capacitors {
		c, path := Capacitance(p, e)
		symbol := "C"
		if len(a.Capacitors) > 1 {
			symbol = "C_" + e.Part
		}
		w.Given(symbol, "capacitance of "+e.Part, c.Value, "uF", path)
		if i > 0 {
			terms += " + "
		}
		terms += rules.Term(c.Value)
		if k, ok := p.Spec.Controllers[e.Part]; ok && k.BleedKOhm.Known {
			w.Given("R_b", "bleed resistor of "+e.Part, k.BleedKOhm.Value, "kOhm", k.Path()+".bleed_kOhm")
		}
	}
	if len(a.Capacitors) > 1 {
		w.Calc("C", "all of them", "sum", terms, 1e6*a.charge.CapacitanceF, "uF")
	}
}

// explainAfter adds the voltage of the capacitors of a plain pre-charge when the
// contactor closes.
func (a *Attempt) explainAfter(p *rules.Pass, w *rules.Working, v float64) (after float64, err error) {
	k := a.Charge(v)
	if a.toleranced() {
		k.SeriesOhm *= ohmTolerance
		k.CapacitanceF *= faradTolerance
	}
	then, err := k.VoltageAfter(a.Delay().Value)
	if err != nil {
		return 0, err
	}
	a.ExplainParts(p, w)
	if a.toleranced() {
		w.Standard("k_R", "resistor at the upper end of its tolerance", ohmTolerance, "", "5 %, common practice")
		w.Standard("k_C", "capacitors at the upper end of theirs", faradTolerance, "", "20 %, common practice for electrolytic capacitors")
	}
	a.explainSettling(w, k)
	a.explainDelay(w)
	return w.Line("v", "voltage of the capacitors then", then), nil
}

// explainSettling adds final voltage and time constant of a plain pre-charge whose
// numbers hold.
func (a *Attempt) explainSettling(w *rules.Working, k calc.Charging) (finalV float64) {
	final, _ := k.FinalV()
	tau, _ := k.TimeConstant()
	w.Line("V_f", "voltage at which the capacitors settle", final)
	w.Line("tau", "time constant", tau)
	return final.Value
}

// ExplainSettled adds the voltage in V at which the capacitors settle while the
// contactor waits to a working, and returns it with the supply in V that it is a
// share of: v for a plain pre-charge. Oscillating names what keeps them from settling.
func (a *Attempt) ExplainSettled(p *rules.Pass, w *rules.Working, v float64) (final, supply float64, oscillating string, trouble *Problem) {
	if trouble = a.known(); trouble != nil {
		return 0, 0, "", trouble
	}
	if a.Plain() {
		a.ExplainParts(p, w)
		return a.explainSettling(w, a.Charge(v)), v, "", nil
	}
	// Constant power draws more from an empty pack.
	var corner circuit.Supply
	for _, pack := range []circuit.Supply{circuit.Highest, circuit.Lowest} {
		end, full, who, ok := a.Settled(p, pack)
		if !ok {
			return 0, 0, "", problem("a solution of the pre-charge in time", "pre-charge of %s: could not be computed: %s", a.Contactor.ID, a.Endless(p, pack).Failed)
		}
		if supply == 0 || oscillating == "" && (who != "" || end*supply < final*full) {
			final, supply, oscillating, corner = end, full, who, pack
		}
	}
	w.Solved("V", "voltage that the capacitors would reach with "+a.Contactor.ID+" closed", supply, "V", a.Ref(p, corner))
	w.Solved("V_s", "voltage at which they settle while it waits", final, "V", a.Ref(p, corner))
	return final, supply, oscillating, nil
}

// ExplainHeat adds the heat of one attempt in a resistor, in J, to a working, and
// returns it: up to closing, or until they settle where the contactor's delay is not known.
func (a *Attempt) ExplainHeat(p *rules.Pass, w *rules.Working, resistor string, v float64) (joule float64, trouble *Problem) {
	if trouble = a.known(); trouble != nil {
		return 0, trouble
	}
	if a.Plain() && a.charge.BleedOhm == 0 {
		a.ExplainParts(p, w)
		heat, err := a.Charge(v).ResistorEnergy()
		if err != nil {
			return 0, problem(a.Resistors[0].Path(), "%s: the heat in it cannot be computed: %v", resistor, err)
		}
		return w.Line("E", "heat of a full charge in "+resistor, heat), nil
	}
	if k := a.Charge(v); a.Plain() && a.Delay().Known {
		a.ExplainParts(p, w)
		final := a.explainSettling(w, k)
		t := a.explainDelay(w)
		heat, err := k.HeatAfter(t)
		if err != nil {
			return 0, problem(a.Resistors[0].Path(), "%s: the heat in it cannot be computed: %v", resistor, err)
		}
		w.Calc("d", "share of the supply at which they settle", "V_f / V_w", rules.Term(final)+" / "+rules.Term(v), final/v, "")
		return w.Line("E", "heat of one attempt in "+resistor, heat), nil
	}
	c := a.Endless(p, circuit.Highest)
	if a.Waits() {
		c = a.Run(p, circuit.Highest)
	}
	if trouble = a.finished(c); trouble != nil {
		return 0, trouble
	}
	return w.Solved("E", "heat of one attempt in "+resistor+", the integral of R i^2 over "+rules.Figure(c.EndS())+" s", c.HeatJ(resistor), "J", a.Ref(p, circuit.Highest)), nil
}
