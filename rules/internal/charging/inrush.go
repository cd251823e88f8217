package charging

import (
	"errors"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// Event is one closing of a contact on capacitors: a series circuit of resistance,
// inductance and capacitance. There is one model of it for all rules, so that one
// closing never shows two figures.
type Event struct {
	Loop    circuit.Loop
	What    string  // whose capacitors: "drive"
	Farad   float64 // of all of them
	Terms   []Bank  // what that is the sum of
	Missing string  // path of a capacitance that is not given, "" if all are
	LeftV   schema.Number
}

// Bank is the capacitors of one part.
type Bank struct {
	Part  string
	UF    float64
	Path  string
	ESR   schema.Number // mOhm
	ESRAt string        // path of that
}

// Onto is the event in which a contact closes on the empty capacitors of a part, at the
// end of a loop.
func Onto(p *rules.Pass, l circuit.Loop, e *circuit.Edge) Event {
	return event(p, l, []*circuit.Edge{e})
}

// Event is the event in which the contact closes; not ok where no loop of metal leads to
// what it charges.
func (k Closing) Event(p *rules.Pass) (v Event, ok bool) {
	open := strings.Fields(k.Open)
	var best circuit.Loop
	for _, e := range k.Capacitors {
		if l, found := p.Circuit.LoopTo(e, func(x *circuit.Edge) bool { return !slices.Contains(open, x.ID) }); found && (!ok || l.Ohm < best.Ohm) {
			best, ok = l, true
		}
	}
	return event(p, best, k.Capacitors), ok
}

func event(p *rules.Pass, l circuit.Loop, list []*circuit.Edge) Event {
	v := Event{Loop: l}
	var names []string
	for _, e := range list {
		uF, path := Capacitance(p, e)
		if !uF.Known && v.Missing == "" {
			v.Missing = path
		}
		b := Bank{Part: e.Part, UF: uF.Or(0), Path: path}
		b.ESR, b.ESRAt = esr(p, e)
		v.Farad += b.UF / 1e6
		v.Terms = append(v.Terms, b)
		names = append(names, e.Part)
	}
	v.What = rules.And(names)
	return v
}

// esr is the series resistance of a consumer's capacitors in mOhm, and the path of it.
func esr(p *rules.Pass, e *circuit.Edge) (milliohm schema.Number, path string) {
	if k, ok := p.Spec.Controllers[e.Part]; ok {
		return k.ESRMOhm, k.Path() + ".esr_mOhm"
	}
	k := p.Spec.Converters[e.Part]
	return k.Input.ESRMOhm, k.Path() + ".input.esr_mOhm"
}

// Inrush adds the first peak of the current to a working, and returns it in A. It
// reports the check as not made, and false, where that is not known.
func (v Event) Inrush(c *rules.Check, p *rules.Pass) (float64, bool) {
	peak, err := v.PeakA(p, c.Working)
	if missing := (*rules.Missing)(nil); errors.As(err, &missing) {
		c.NotChecked(missing.Path, "the inrush into the capacitors of %s depends on %s", v.What, missing.What)
	} else if err != nil {
		c.NotChecked(v.Terms[0].Path, "the inrush into the capacitors of %s cannot be computed: %v", v.What, err)
	}
	return peak, err == nil
}

// PeakA adds the first peak of the current to a working, and returns it in A: the
// batteries full, at their lowest resistance, the loop with no more inductance
// than its conductors have. Leads of batteries in parallel count by resistance and by
// inductance as if each were alone, which is right where they are alike, and errs on the
// safe side where they are not. The error is a *rules.Missing where a
// resistance is not known.
func (v Event) PeakA(p *rules.Pass, w *rules.Working) (float64, error) {
	volt, ohm, err := v.resistance(p, w)
	if err != nil {
		return 0, err
	}
	v.explainFarad(w)
	henry := v.henry(w, calc.UsualHenryPerM, 0, "1 uH per metre of the pair, common practice; nothing for battery, fuse and contacts, whose 0.2 to 1 uH make up for cables that touch")
	peak, err := calc.StepPeak(v.LeftV.Or(volt), ohm, henry, v.Farad)
	if err != nil {
		return 0, err
	}
	if !w.Unread() {
		w.Lines(peak.Steps()...)
	}
	return peak.A, nil
}

// AboveUS adds to a working how long in us the charging current stays above a level in A, and
// returns it: with the inductance of the range of the loop with which it does so longest. The
// more of it there is, the lower is the peak, but the longer the wave.
func (v Event) AboveUS(c *rules.Check, p *rules.Pass, amperes float64) (us float64, err error) {
	aside := p.Subject(v.Terms[0].Part, "").Working // its steps are those of the peak
	volt, ohm, err := v.resistance(p, aside)
	if err != nil {
		return 0, err
	}
	const steps = 60
	least := v.Loop.AllLengthM() * calc.UsualHenryPerM
	most := v.Loop.AllLengthM()*calc.GreatestHenryPerM + calc.GreatestHenryParts
	henry := least
	for i := range steps + 1 {
		h := least + (most-least)*float64(i)/steps
		peak, err := calc.StepPeak(v.LeftV.Or(volt), ohm, h, v.Farad)
		if err != nil {
			return 0, err
		}
		if t := 1e6 * peak.Above(amperes); t > us {
			us, henry = t, h
		}
	}
	c.Standard("L_t", "inductance with which it lasts longest", 1e6*henry, "uH", "of "+rules.Figure(1e6*least)+" to "+rules.Figure(1e6*most)+
		" uH: 1 to 2 uH per metre of the pair, and up to 1 uH for battery, fuse and contacts, common practice")
	return c.Solved("t", "time of the charging current above "+rules.Figure(amperes)+" A", us, "us", "series RLC circuit of R, L_t and C"), nil
}

// Ring adds the highest voltage to a working to which the terminals of the capacitors
// swing, and returns it in V: with the most inductance that the loop may have.
func (v Event) Ring(p *rules.Pass, w *rules.Working) (float64, error) {
	volt, ohm, err := v.resistance(p, w)
	if err != nil {
		return 0, err
	}
	v.explainFarad(w)
	henry := v.henry(w, calc.GreatestHenryPerM, calc.GreatestHenryParts, mostHenry)
	ring, err := calc.RingUp(volt, v.LeftV.Or(volt), ohm, v.esrOhm(), henry, v.Farad)
	if err != nil {
		return 0, err
	}
	if !w.Unread() {
		w.Lines(ring.Steps()...)
	}
	return ring.V, nil
}

// henry adds the inductance of the loop to a working, and returns it in H.
func (v Event) henry(w *rules.Working, perM, parts float64, source string) float64 {
	ref := "sum over the loop"
	if len(v.Loop.Leads) > 1 {
		ref += ", and of the batteries' own leads as they are in parallel"
	}
	length := w.Solved("l", "length of conductor in the loop, out and back", v.Loop.AllLengthM(), "m", ref)
	return w.Standard("L", "inductance of the loop", 1e6*(length*perM+parts), "uH", source) / 1e6
}

// esrOhm is the series resistance in Ohm of the capacitors, 0 where it is not known or
// where there are those of several parts.
func (v Event) esrOhm() float64 {
	if len(v.Terms) != 1 {
		return 0
	}
	return v.Terms[0].ESR.Or(0) / 1000
}

func (v Event) explainFarad(w *rules.Working) {
	var terms []string
	for _, b := range v.Terms {
		symbol := "C"
		if len(v.Terms) > 1 {
			symbol = "C_" + b.Part
		}
		terms = append(terms, rules.Term(w.Given(symbol, "capacitance of "+b.Part, b.UF, "uF", b.Path)))
	}
	if len(terms) > 1 {
		w.Calc("C", "all of them", "sum", strings.Join(terms, " + "), 1e6*v.Farad, "uF")
	}
}

// resistance adds the resistance of the loop and the voltage that is switched onto it to
// a working, and returns both. That of the capacitors counts where there are those of
// one part alone.
func (v Event) resistance(p *rules.Pass, w *rules.Working) (volt, ohm float64, err error) {
	l := v.Loop
	var siemens float64
	var terms []string
	seen := map[string]bool{}
	for i, s := range l.Strings {
		volt = max(volt, demand.EndOfCharge(p, w, s, seen))
		var one float64
		var sum []string
		for _, b := range s {
			r, err := demand.BatteryResistance(p, w, b.ID, circuit.Least)
			if err != nil {
				return 0, 0, err
			}
			one += r
			sum = append(sum, rules.Term(1000*r))
		}
		if lead := l.LeadOhm(i); lead > 0 {
			sum = append(sum, rules.Term(1000*w.Solved("R_"+s[0].ID, "leads of "+s.Name()+" alone", 1000*lead, "mOhm", "copper at the lowest ambient, contacts neglected")/1000))
			one += lead
		}
		siemens += 1 / one
		terms = append(terms, strings.Join(sum, " + "))
	}
	internal := 1 / siemens
	if len(terms) > 1 {
		w.Calc("R_b,min", "batteries in parallel, with their own leads", "1 / sum of 1 / (R_b,min + leads)", "1 / (1 / ("+strings.Join(terms, ") + 1 / (")+"))", 1000*internal, "mOhm")
		terms = []string{rules.Term(1000 * internal)}
	}
	w.Solved("R_l", "conductors, fuses and shunts of the loop", 1000*l.Ohm, "mOhm", "copper at the lowest ambient, contacts neglected")
	ohm = w.Calc("R", "resistance of the loop", "R_b,min + R_l", strings.Join(append(terms, rules.Term(1000*l.Ohm)), " + "), 1000*(internal+l.Ohm), "mOhm") / 1000
	if esr := 1000 * v.esrOhm(); esr > 0 {
		w.Given("R_C", "series resistance of the capacitors of "+v.What, esr, "mOhm", v.Terms[0].ESRAt)
		ohm = w.Calc("R", "with that of the capacitors", "R + R_C", rules.Term(1000*ohm)+" + "+rules.Term(esr), 1000*ohm+esr, "mOhm") / 1000
	}
	return volt, ohm, nil
}

// HenryRange is the least and the most inductance in H that a loop may have: without and
// with what battery, fuse and contacts add.
func HenryRange(l circuit.Loop) (least, most float64) {
	return l.LengthM * calc.UsualHenryPerM, l.LengthM*calc.GreatestHenryPerM + calc.GreatestHenryParts
}

// mostHenry says where the most inductance of a loop comes from.
const mostHenry = "2 uH per metre of the pair and 1 uH for battery, fuse and contacts: the most, common practice"
