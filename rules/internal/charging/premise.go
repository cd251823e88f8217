package charging

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// By is what makes a contactor close later than its pre-charge begins.
type By string

// What may make it. A delay is a property of a device in the coil's path; without one
// it is a wish.
const (
	Controller   By = "controller"    // an output that the coil returns to
	Timer        By = "timer"         // the contact of a time relay in the coil's path
	VoltageRelay By = "voltage-relay" // a relay there that compares capacitors and battery
	Capacitor    By = "capacitor"     // across the coil
	Auxiliary    By = "auxiliary"     // an auxiliary contact: an order, no delay
	Hand         By = "hand"          // a person who waits
	Race         By = "race"          // nothing: coils fed together pull in together
	AtOnce       By = "at once"       // nothing: it is energised as the pre-charge begins
)

// Premise is what a delay rests on.
type Premise struct {
	By     By
	Device string   // that makes it, "" if there is none
	Rivals []string // contactors and relays that the pre-charge needs and that pull in together with it
	// Undrawn is what closes.by claims and the circuit does not show, "" if it does.
	Undrawn string
	// Early is a timer whose contact is in the path of the coil and whose time is over
	// before the pre-charge begins, and Ahead the switch that it is fed ahead of.
	Early, Ahead string
	// Idle is a controller whose output would make the delay and that no coil returns to.
	Idle string
	// DelayS is from the last contact of the pre-charge's loop to closing, in s; not
	// known where it is not declared.
	DelayS schema.Number
	terms  []term // what that is the difference of
}

// term is a time in s of a working, and its origin.
type term struct {
	symbol, what string
	s            float64
	path         string // "" of a default
	ref          string // of that
	// How it comes from what stands at path; "" where it is that.
	formula, numbers string
}

// scaled is a time that a tolerance in percent makes shorter, or longer where it is below 0.
func scaled(symbol, what, path string, s, percent float64) term {
	t := term{symbol: symbol, what: what, path: path, s: s * (1 - percent/100)}
	switch {
	case percent > 0:
		t.formula, t.numbers = "t_set (1 - tol)", rules.Term(s)+" * (1 - "+rules.Term(percent)+" / 100)"
	case percent < 0:
		t.formula, t.numbers = "t_set (1 + tol)", rules.Term(s)+" * (1 + "+rules.Term(-percent)+" / 100)"
	}
	return t
}

func tolerance(t *schema.Timer) float64 { return t.TolerancePercent.Or(circuit.TimerTolerancePercent) }

// Made reports whether a device makes the delay, or a person.
func (f Premise) Made() bool { return f.By != Race && f.By != AtOnce && f.By != Auxiliary }

// found finds what makes the delay of a pre-charge, from the circuit: what holds the
// coil back while the capacitors charge.
func (a *Attempt) found(p *rules.Pass) Premise {
	rivals := a.rivals(p)
	f := a.device(p)
	if closes := a.Contactor.Closes; closes != nil && f.By != By(closes.By) {
		f = a.claimed(p, f, By(closes.By), closes.Device)
	}
	if f.By == "" {
		if f.By = AtOnce; len(rivals) > 0 {
			f.By, f.Rivals = Race, rivals
		}
		if f.Early == "" && a.mayBeHand() && a.excused(p) {
			f.By = Hand
		}
	}
	if f.By == Hand && a.Contactor.Closes == nil {
		f.Idle = idle(p)
	}
	a.delay(p, &f, rivals)
	return f
}

// rivals lists the contactors and relays without which the pre-charge does not charge.
func (a *Attempt) rivals(p *rules.Pass) (ids []string) {
	loop, _ := p.Circuit.LoopTo(a.Capacitors[0], nil)
	for _, e := range slices.Concat(a.Round, loop.Contacts) {
		if e.Kind == circuit.ContactEdge && e.Part != a.Contactor.ID && !slices.Contains(ids, e.Part) &&
			!slices.Contains(later(p, a.Contactor.ID), e.Part) && !a.charges(p, e.ID) {
			ids = append(ids, e.Part)
		}
	}
	slices.Sort(ids)
	return ids
}

// excused reports whether a delay that nothing makes is taken for that of a person: a
// resistor that stays across the contact is charged through as soon as what else the
// loop has is closed, a switch feeds the coil, and up to 60 V off the road a wait may be
// declared.
func (a *Attempt) excused(p *rules.Pass) bool {
	declared, _ := a.Contactor.Delay()
	return declared.Or(0) > 0 && a.Unswitched(p) && !a.Graver(p) && KeyPoles(p) != "" && !a.Energised(p, a.Mode, KeyPoles(p))
}

// HandJ is the energy in J of the capacitors above which a wait that only a person
// makes is a warning even where nothing else is: the arc of bouncing contacts gets about
// a third of it, and 3.4 J melt a cubic millimetre of silver, a weld that a contactor's
// springs may no longer break.
const HandJ = 10

// Graver reports whether a forgotten wait is more than a nuisance: on the road, or
// above 60 V, and with more than HandJ in the capacitors.
func (a *Attempt) Graver(p *rules.Pass) bool {
	volt := a.fullV(p)
	return (p.Spec.Vehicle.OnRoad() || volt > calc.ClassALimitV) && a.EnergyJ(p) > HandJ
}

// EnergyJ is the energy in J of the full capacitors.
func (a *Attempt) EnergyJ(p *rules.Pass) float64 {
	return calc.CapacitorEnergyJ(a.charge.CapacitanceF, a.fullV(p))
}

func (a *Attempt) fullV(p *rules.Pass) float64 {
	v, _ := ExplainFull(p, p.Subject(a.Contactor.ID, a.Contactor.Path()).Working, a.Contact.From)
	return v
}

func poles(sw *schema.Switch) string {
	var ids []string
	for pole := range schema.Sorted(sw.Poles) {
		ids = append(ids, sw.ID+"."+pole)
	}
	return strings.Join(ids, " ")
}

// delay finds the time from the last contact of the pre-charge's loop to closing.
func (a *Attempt) delay(p *rules.Pass, f *Premise, rivals []string) {
	switch f.By {
	case AtOnce, Auxiliary:
		f.DelayS = schema.Some(0)
		return
	case Race:
		a.race(p, f)
		return
	case Capacitor:
		a.slowCoil(p, f)
		return
	case Timer:
		t := p.Spec.Timers[f.Device]
		f.terms = []term{scaled("t_c", "shortest delay of "+f.Device, t.Path()+".set_s", t.SetS, tolerance(t))}
	default:
		declared, path := a.Contactor.Delay()
		if !declared.Known {
			return
		}
		var off float64
		if c := a.Contactor.Closes; c != nil {
			off = c.TolerancePercent.Or(0)
		}
		f.terms = []term{scaled("t_c", "from the beginning of the pre-charge to closing", path, declared.Value, off)}
	}
	last, found := term{}, false
	for _, id := range rivals {
		if t, ok := a.begins(p, id); ok && t.s > last.s {
			last, found = t, true
		}
	}
	f.DelayS = schema.Some(f.terms[0].s)
	if found {
		f.terms = append(f.terms, last)
		f.DelayS.Value = max(0, f.terms[0].s-last.s)
	}
}

// begins is when a contact of the pre-charge's loop closes, as its own delay has it.
func (a *Attempt) begins(p *rules.Pass, id string) (t term, ok bool) {
	for name, timer := range schema.Sorted(p.Spec.Timers) {
		if timer.Function == "on-delay" && !timer.Spare && !a.operates(p, id, name+".no") {
			return scaled("t_b", "when "+id+" closes at the latest, by "+name, timer.Path()+".set_s", timer.SetS, -tolerance(timer)), true
		}
	}
	if k, is := p.Spec.Contactors[id]; is {
		s, path := k.Delay()
		return term{symbol: "t_b", what: "when " + id + " closes, without which nothing charges", s: s.Or(0), path: path}, s.Known
	}
	return term{}, false
}

// operates reports whether another coil is energised in the mode of the start with some
// edges open.
func (a *Attempt) operates(p *rules.Pass, id, open string) bool {
	k := a.corner(circuit.Highest, true)
	k.Open = strings.TrimSpace(k.Open + " " + open)
	coil := p.Circuit.Edge(id + ".coil")
	s := p.Circuit.Solve(k)
	return coil != nil && s.Failed == "" && math.Abs(s.V(coil.From)-s.V(coil.To)) > 0.5*a.nominalV(p, id)
}

func (a *Attempt) nominalV(p *rules.Pass, id string) float64 {
	if k, ok := p.Spec.Contactors[id]; ok {
		return k.Coil.NominalV
	}
	return p.Spec.Relays[id].Coil.NominalV
}

// race is what coils that are fed together leave for the pre-charge: the shortest that
// the contactor takes to close, less the longest of what must have closed before.
func (a *Attempt) race(p *rules.Pass, f *Premise) {
	own, _ := a.operateS(p, a.Contactor.ID, &a.Contactor.Coil, false)
	f.terms = []term{own}
	last := term{}
	for _, id := range f.Rivals {
		coil, power := coilOf(p, id)
		if t, _ := a.operateS(p, id, coil, true); t.s > last.s || !power && last.what == "" {
			last = t
		}
	}
	f.terms = append(f.terms, last)
	f.DelayS = schema.Some(max(0, own.s-last.s))
}

func coilOf(p *rules.Pass, id string) (coil *schema.Coil, contactor bool) {
	if k, ok := p.Spec.Contactors[id]; ok {
		return &k.Coil, true
	}
	return &p.Spec.Relays[id].Coil, false
}

// operateS is the shortest or longest time in s from voltage to closed contact: as
// given, else of the coil's current and the armature's travel, else a default.
func (a *Attempt) operateS(p *rules.Pass, id string, coil *schema.Coil, longest bool) (t term, given bool) {
	power := p.Spec.Contactors[id] != nil
	which := map[bool]string{false: "shortest", true: "longest"}[longest]
	base := p.Spec.Part(id).Common().Path() + ".coil"
	t = term{symbol: map[bool]string{false: "t_c", true: "t_b"}[longest], what: which + " operate time of " + id}
	pick := func(least, most float64) float64 {
		if longest {
			return most
		}
		return least
	}
	if coil.OperateMS != nil {
		ms := pick(coil.OperateMS.Min, coil.OperateMS.Max)
		t.s, t.path = ms/1000, base+".operate_ms."+map[bool]string{false: "min", true: "max"}[longest]
		t.formula, t.numbers = "t_ms / 1000", rules.Term(ms)+" / 1000"
		return t, true
	}
	if v, ok := a.currentS(id, coil, &t); ok {
		travel := pick(calc.LeastTravelS, calc.MostTravelS)
		t.s, t.path = t.s+travel, base+".inductance_mH"
		t.formula = "L/R ln(1 / (1 - V_op/V)) + travel of the armature"
		t.numbers = rules.Term(coil.InductanceMH.Value) + "/1000/" + rules.Term(coil.ResistanceOhm.Value) + " * ln(1 / (1 - " +
			rules.Term(coil.OperateV.Value) + "/" + rules.Term(v) + ")) + " + rules.Term(travel)
		return t, true
	}
	t.s, t.ref = pick(calc.LeastRelayS, calc.MostRelayS), "small relays 5 to 15 ms, common practice"
	if power {
		t.s, t.ref = pick(calc.LeastContactorS, calc.MostContactorS), "contactors 15 to 50 ms, common practice"
	}
	return t, false
}

// currentS puts the time in s that a coil's current takes into a term, at the voltage in
// V that it has in the mode of the start, and returns that.
func (a *Attempt) currentS(id string, coil *schema.Coil, t *term) (volt float64, ok bool) {
	v, connected := a.settled.Across(id+".coil_pos", id+".coil_neg")
	if !connected || !coil.InductanceMH.Known || !coil.ResistanceOhm.Known || !coil.OperateV.Known {
		return 0, false
	}
	s, err := calc.OperateTime(coil.InductanceMH.Value/1000, coil.ResistanceOhm.Value, coil.OperateV.Value, math.Abs(v))
	t.s = s
	return math.Abs(v), err == nil && !math.IsInf(s, 1)
}

// slowCoil is the delay of a capacitor across the coil: the shortest, with the coil cold
// and the capacitor at the lower end of its tolerance.
func (a *Attempt) slowCoil(p *rules.Pass, f *Premise) {
	coil, closes := a.Contactor.Coil, a.Contactor.Closes
	v, ok := a.settled.Across(a.Contactor.ID+".coil_pos", a.Contactor.ID+".coil_neg")
	if !ok || !coil.ResistanceOhm.Known || !coil.OperateV.Known || !closes.CapacitanceUF.Known || !closes.SeriesOhm.Known {
		return
	}
	const least = 0.8 // of an electrolytic capacitor
	k := calc.SlowCoil{SeriesOhm: closes.SeriesOhm.Value, CoilOhm: coil.ResistanceOhm.Value, CapacitanceF: least * closes.CapacitanceUF.Value / 1e6}
	s, err := k.ClosesAfter(math.Abs(v), coil.OperateV.Value)
	if err != nil || math.IsInf(s, 1) {
		return
	}
	r, c := k.SeriesOhm*k.CoilOhm/(k.SeriesOhm+k.CoilOhm), rules.Term(closes.CapacitanceUF.Value)
	f.terms = []term{{symbol: "t_c", what: "shortest delay of the capacitor across the coil", s: s, path: a.Contactor.Path() + ".closes.capacitance_uF",
		formula: "0.8 C (R_s || R_c) ln(1 / (1 - V_op/V_f))",
		numbers: "0.8 * " + c + "e-6 * " + rules.Term(r) + " * ln(1 / (1 - " + rules.Term(coil.OperateV.Value) + "/" + rules.Term(k.FinalV(math.Abs(v))) + "))"}}
	f.DelayS = schema.Some(s)
}

// explainDelay adds the delay to a working and returns it in s.
func (a *Attempt) explainDelay(w *rules.Working) float64 {
	terms := a.Premise.terms
	if len(terms) == 0 {
		return w.Standard("t", "from the beginning of the pre-charge to closing", a.Premise.DelayS.Value, "s", "nothing makes a delay")
	}
	if t := terms[0]; len(terms) == 1 && t.formula == "" && t.path != "" {
		return w.Given("t", t.what, t.s, "s", t.path)
	}
	var numbers []string
	for _, t := range terms {
		switch {
		case t.path == "":
			w.Standard(t.symbol, t.what, t.s, "s", t.ref)
		case t.formula == "":
			w.Given(t.symbol, t.what, t.s, "s", t.path)
		default:
			w.Derived(t.symbol, t.what, t.formula, t.numbers, t.s, "s", t.path)
		}
		numbers = append(numbers, rules.Term(t.s))
	}
	if len(terms) == 1 {
		return w.Calc("t", "from the beginning of the pre-charge to closing", "t_c", numbers[0], a.Premise.DelayS.Value, "s")
	}
	return w.Calc("t", "from the last contact of the pre-charge's loop to closing", "t_c - t_b, at least 0",
		"max(0, "+strings.Join(numbers, " - ")+")", a.Premise.DelayS.Value, "s")
}

// tolerances of what the time constant rests on, for a delay that a device makes:
// resistors 5 %, electrolytic capacitors 20 % (common practice).
const (
	ohmTolerance   = 1.05
	faradTolerance = 1.20
)

// toleranced reports whether the delay is that of a device with a tolerance of its own,
// so that the other tolerances count too.
func (a *Attempt) toleranced() bool { return a.Premise.By == Timer || a.Contactor.Closes != nil }

// slack is by how much longer the pre-charge takes than its nominal values say.
func (a *Attempt) slack() float64 {
	if a.toleranced() {
		return ohmTolerance * faradTolerance
	}
	return 1
}

// Longer says what makes the contactor wait for a time in s, nominal values of resistor
// and capacitors provided, as the beginning of a sentence.
func (a *Attempt) Longer(p *rules.Pass, s float64) string {
	s *= a.slack()
	if terms := a.Premise.terms; len(terms) > 1 {
		s += terms[1].s
	}
	if t, ok := p.Spec.Timers[a.Premise.Device]; ok && a.Premise.By == Timer {
		return fmt.Sprintf("raise set_s of %s from %s to %s", t.ID, rules.Figure(t.SetS), rules.Figure(rules.RoundUp(s/(1-tolerance(t)/100), 0.1)))
	}
	field := "closes_after_s"
	if c := a.Contactor.Closes; c != nil {
		s /= 1 - c.TolerancePercent.Or(0)/100
		if c.AfterS.Known {
			field = "closes.after_s"
		}
	}
	s = rules.RoundUp(s, 0.1)
	declared, _ := a.Contactor.Delay()
	if !a.Premise.Made() || !declared.Known {
		return fmt.Sprintf("let a timer in the path of its coil, or a controller's coil_out, hold %s back for at least %s s", a.Contactor.ID, rules.Figure(s))
	}
	return fmt.Sprintf("raise %s of %s from %s to %s", field, a.Contactor.ID, rules.Figure(declared.Value), rules.Figure(s))
}

// LongestS is the longest time in s that the pre-charge lasts.
func (a *Attempt) LongestS(p *rules.Pass) float64 {
	if t, ok := p.Spec.Timers[a.Premise.Device]; ok && a.Premise.By == Timer {
		return t.SetS * (1 + tolerance(t)/100)
	}
	return a.Delay().Value
}

// Unsettled reports the check as not made, and true, where the coil of the contactor
// finds no rest while the vehicle is started.
func (a *Attempt) Unsettled(c *rules.Check) bool {
	return a.settled != nil && c.Unsettled(a.settled, a.Contactor.ID+".coil", a.Contactor.ID+".contact")
}

// ExplainLongest adds the longest time to a working that the pre-charge lasts, and
// returns it in s.
func (a *Attempt) ExplainLongest(p *rules.Pass, w *rules.Working) float64 {
	t, ok := p.Spec.Timers[a.Premise.Device]
	if a.Premise.By != Timer || !ok {
		return a.explainDelay(w)
	}
	most := scaled("t", "longest delay of "+t.ID, t.Path()+".set_s", t.SetS, -tolerance(t))
	return w.Derived(most.symbol, most.what, most.formula, most.numbers, most.s, "s", most.path)
}
