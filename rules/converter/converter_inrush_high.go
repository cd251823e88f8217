package converter

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/circuit"
	"example.org/headroom/schema"
)

func inrushHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "converter-inrush-high",
		Family: family,
		Title:  "the empty input capacitors of the converter ask too much of the contact that closes on them",
		Why: "The contact that connects the converter charges its input capacitors in microseconds, with hundreds of amperes. " +
			"A key switch or small relay pits and welds; then it no longer switches off.",
		Relation: "first peak of the charging current <= make_A of each contact that closes on it, with V the pack's max_V, R the least resistance of the loop, " +
			"L 1 uH per metre of its conductors, C input.capacitance_uF without series resistance",
		Source:   "circuit theory (step into a series RLC circuit); 1 uH/m is common practice for a pair of cables",
		Level:    rules.Warning,
		Required: 1,
		Policy:   []string{"policy.required.converter-inrush-high"},
		Fix:      "connect the converter by a contact with a higher make_A, or pre-charge it through a resistor",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "disconnects.isolator.make_A", Value: "150"}}},
		Check: checkInrush,
	}
}

func checkInrush(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".in_pos") {
			continue
		}
		loop, ok := inputLoop(p, v)
		switch {
		case !ok:
			c.NotChecked("a battery that feeds "+v.ID, "no battery feeds the input of %s over metal", v.ID)
		case len(loop.contacts) == 0:
			c.Holds(true, "no contact closes on the input of %s", v.ID)
		case !v.Input.CapacitanceUF.Known:
			c.NotChecked(v.Path()+".input.capacitance_uF", "the input capacitance of %s is not known", v.ID)
		default:
			judgeInrush(c, p, v, loop)
		}
	}
}

// loop is the way from a battery through a converter's input and back.
type loop struct {
	battery  *schema.Battery
	ohm      float64 // conductors, fuses and contacts
	lengthM  float64
	contacts []*circuit.Edge
}

// inputLoop finds the way with the fewest parts from a traction battery.
func inputLoop(p *rules.Pass, v *schema.Converter) (best loop, ok bool) {
	in := p.Circuit.Edge(v.ID + ".in")
	for id, b := range schema.Sorted(p.Spec.Batteries) {
		e := p.Circuit.Edge(id)
		out := p.Circuit.Path(e.From, in.From, circuit.Metal)
		back := p.Circuit.Path(in.To, e.To, circuit.Metal)
		if out == nil || back == nil {
			continue
		}
		l := loop{battery: b}
		for _, x := range append(out, back...) {
			l.add(p, x)
		}
		if !ok || l.ohm < best.ohm {
			best, ok = l, true
		}
	}
	return best, ok
}

func (l *loop) add(p *rules.Pass, e *circuit.Edge) {
	switch e.Kind {
	case circuit.WireEdge:
		l.ohm += p.Circuit.ConductorResistance(e.ID, p.Spec.Vehicle.AmbientC.Min)
		l.lengthM += p.Spec.Wires[e.ID].LengthM
	case circuit.BusbarEdge:
		l.ohm += p.Circuit.ConductorResistance(e.ID, p.Spec.Vehicle.AmbientC.Min)
		l.lengthM += p.Spec.Busbars[e.ID].LengthMM / 1000
	case circuit.FuseEdge:
		l.ohm += p.Circuit.FuseResistance(p.Spec.Fuses[e.Part])
	case circuit.SwitchEdge, circuit.ContactEdge:
		// A contact pre-charged by a resistor closes on full capacitors.
		if !precharged(p.Circuit, e) {
			l.contacts = append(l.contacts, e)
		}
	}
}

// precharged reports whether a resistor leads round a contact.
func precharged(n *circuit.Network, contact *circuit.Edge) bool {
	for _, e := range n.Bypass(contact.ID) {
		if r, ok := n.Spec.Resistors[e.Part]; ok && r.Role == "precharge" {
			return true
		}
	}
	return false
}

// makeA is the making capacity of a contact and the path of it.
func makeA(p *rules.Pass, e *circuit.Edge) (schema.Number, string) {
	switch x := p.Spec.Part(e.Part).(type) {
	case *schema.Disconnect:
		return x.MakeA, x.Path() + ".make_A"
	case *schema.Contactor:
		return x.Contact.MakeA, x.Path() + ".contact.make_A"
	case *schema.Relay:
		return x.Contact.MakeA, x.Path() + ".contact.make_A"
	case *schema.Switch:
		pole := e.ID[len(e.Part)+1:]
		return x.Poles[pole].MakeA, x.Path() + ".poles." + pole + ".make_A"
	}
	return schema.Number{}, ""
}

// inductancePerM is the inductance of a metre of conductor in a loop of two, in H.
const inductancePerM = 1e-6

func judgeInrush(c *rules.Check, p *rules.Pass, v *schema.Converter, l loop) {
	internal, known := p.Circuit.BatteryResistance(l.battery, circuit.Least)
	if !known {
		c.NotChecked(l.battery.Path()+".resistance_mOhm", "the inrush depends on the battery's resistance")
		return
	}
	weakest, path := schema.Number{}, ""
	for _, e := range l.contacts {
		rated, at := makeA(p, e)
		if !rated.Known {
			c.NotChecked(at, "what %s may be closed on is not known", e.Part)
			return
		}
		if !weakest.Known || rated.Value < weakest.Value {
			weakest, path = rated, at
		}
	}
	volt := c.Given("V", "pack full", l.battery.MaxV, "V", l.battery.Path()+".max_V")
	c.Solved("R_b", "least resistance of "+l.battery.ID, 1000*internal, "mOhm", "warm, new and full")
	c.Solved("R_l", "conductors, fuses and contacts of the loop", 1000*l.ohm, "mOhm", "copper at the lowest ambient")
	ohm := c.Calc("R", "resistance of the loop", "R_b + R_l", rules.Figure(1000*internal)+" + "+rules.Figure(1000*l.ohm), 1000*(internal+l.ohm), "mOhm") / 1000
	length := c.Solved("l", "length of conductor in the loop, out and back", l.lengthM, "m", "sum over the loop")
	henry := length * inductancePerM
	c.Standard("L", "inductance of the loop", 1e6*henry, "uH", "1 uH per metre, common practice")
	farad := c.Given("C", "input capacitance of "+v.ID, v.Input.CapacitanceUF.Value, "uF", v.Path()+".input.capacitance_uF") * 1e-6
	peak := showPeak(c, volt, ohm, henry, farad)
	limit := c.Given("I_m", "making capacity", weakest.Value, "A", path)
	c.Related(path, "the contact that closes on it")
	c.AtMost(amperes(peak), amperes(limit), "the input capacitors of %s take a peak of %s A from the contact that closes on them; it is made for %s A",
		v.ID, rules.Figure(peak), rules.Figure(limit))
}

// showPeak adds the first peak of the charging current to a working.
func showPeak(c *rules.Check, volt, ohm, henry, farad float64) float64 {
	peak, t := stepPeak(volt, ohm, henry, farad)
	if t == 0 {
		return c.Calc("I_p", "first peak of the charging current, without inductance to speak of", "V / R",
			rules.Figure(volt)+" / "+rules.Figure(ohm), peak, "A")
	}
	a, w0 := ohm/(2*henry), 1/math.Sqrt(henry*farad)
	c.Calc("a", "damping", "R / (2 L)", fmt.Sprintf("%s / (2 * %s)", rules.Figure(ohm), rules.Figure(henry)), a, "1/s")
	c.Calc("w_0", "natural frequency", "1 / sqrt(L C)", fmt.Sprintf("1 / sqrt(%s * %s)", rules.Figure(henry), rules.Figure(farad)), w0, "1/s")
	formula := "atan(w/a) / w, w = sqrt(w_0^2 - a^2)"
	if a > w0 {
		formula = "atanh(w/a) / w, w = sqrt(a^2 - w_0^2)"
	}
	c.Calc("t_p", "time of the first peak", formula, "", 1e6*t, "us")
	return c.Calc("I_p", "first peak of the charging current", "V sqrt(C/L) exp(-a t_p)",
		fmt.Sprintf("%s sqrt(%s/%s) exp(-%s * %s)", rules.Figure(volt), rules.Figure(farad), rules.Figure(henry), rules.Figure(a), rules.Figure(t)), peak, "A")
}

// stepPeak is the first peak in A of the current, and its time in s, when a
// voltage is applied to R, L and C in series, all at rest. Whatever the
// damping, the peak is V/sqrt(L/C) exp(-a t) at the t where the current's slope
// is nothing, a = R/2L. Without inductance to speak of it is V/R at once.
// Source: circuit theory, series RLC circuit.
func stepPeak(volt, ohm, henry, farad float64) (ampere, s float64) {
	a, w0 := ohm/(2*henry), 1/math.Sqrt(henry*farad)
	if henry <= 0 || a > 1e3*w0 {
		return volt / ohm, 0
	}
	switch w := math.Sqrt(math.Abs(w0*w0 - a*a)); {
	case w < 1e-6*w0:
		s = 1 / a
	case a < w0:
		s = math.Atan(w/a) / w
	default:
		s = math.Atanh(w/a) / w
	}
	return volt / math.Sqrt(henry/farad) * math.Exp(-a*s), s
}
