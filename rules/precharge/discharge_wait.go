package precharge

import (
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func dischargeWait() *rules.Rule {
	return &rules.Rule{
		ID:     "discharge-wait",
		Family: family,
		Title:  "the controller's capacitors stay charged after switching off",
		Why: "Capacitors above 60 V hold their charge when everything is open. Whoever takes the cover off at once finds the voltage of a minute ago still on the bars; " +
			"without a bleed resistor even that of yesterday.",
		Relation: "t_60 = 1.3 R C ln(V / 60 V), the time to wait before touching; C with everything that stays connected to the controller, R the bleed resistors across it, " +
			"1.3 for the tolerances of both. Up to 60 V no regulation requires a wait; measure all the same",
		Source: "UN R136 (light vehicles on the road) and UN R100 (other road vehicles) set 60 V DC; energy above it as in UN R94 and R95, from memory; circuit theory; " +
			"tolerances of +20 % (electrolytic capacitors, IEC 60384-4, from memory) and +5 to 10 % (resistors) are common practice",
		Level:  rules.Error,
		Varies: "note, with the time to wait, where a bleed resistor brings it below 60 V in policy.discharge_s",
		Policy: []string{"policy.discharge_s"},
		Vital:  []string{"controllers.bleed_kOhm", "controllers.capacitance_uF", "converters.input.capacitance_uF"},
		Fix:    "connect a bleed resistor across the controller's terminals, and label the cover with the time to wait",
		Example: rules.Example{Vehicle: "mole", Subject: "drive", Edits: []rules.Edit{
			{Path: "batteries.pack.max_V", Value: "67"}, {Path: "controllers.drive.bleed_kOhm"}}},
		Check: checkDischarge,
	}
}

func checkDischarge(p *rules.Pass) {
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		e := p.Circuit.Edge(id)
		if k.Spare || !p.Circuit.Connected(id+".pos") || !p.Circuit.Connected(id+".neg") {
			continue
		}
		c := p.Subject(id, k.Path())
		if p.Unsound(c, id+".pos", id+".neg") {
			continue
		}
		v, err := demand.HighestVoltage(p, c.Working, batteriesOf(p, e.From))
		if v <= calc.ClassALimitV && err == nil {
			continue // class A: nothing to wait for
		}
		evalDischarge(c, p, k, e, v, err)
	}
}

// batteriesOf lists the batteries and chargers of a node's network.
func batteriesOf(p *rules.Pass, at circuit.Node) []circuit.Source {
	var out []circuit.Source
	for _, s := range p.Circuit.Sources() {
		if s.Role != "converter" && p.Circuit.SameNetwork(s.Pos, at) {
			out = append(out, s)
		}
	}
	return out
}

func evalDischarge(c *rules.Check, p *rules.Pass, k *schema.Controller, e *circuit.Edge, v float64, err error) {
	if demand.VoltageUnknown(c, err, true, "of "+k.ID) {
		return
	}
	bank := bankOf(p, e)
	if bank.battery != "" {
		c.NotChecked("a contact between "+bank.battery+" and "+k.ID, "%s: no contact separates it from %s, so that its capacitors never discharge", k.ID, bank.battery)
		return
	}
	if bank.missing != "" {
		c.NotChecked(bank.missing, "%s: how long it stays charged depends on this capacitance", k.ID)
		return
	}
	bank.explain(c, p)
	limit := float64(calc.ClassALimitV)
	c.Standard("V_A", "limit of voltage class A", limit, "V", "ISO 6469-3; "+regulation(p.Spec.Vehicle.Use))
	energy := c.Line("E", "energy above it", calc.TouchEnergy(bank.farad, v))
	c.In("", "everything open, highest voltage")
	most := p.Spec.Policy.DischargeS
	if math.IsInf(bank.ohm, 1) {
		bank.fixBleed(c, k.ID, v, most)
		c.Fail("capacitors of %s: nothing discharges them, they stay at up to %s V, %s J above the 60 V of %s", k.ID, rules.Figure(v), rules.Figure(energy), regulation(p.Spec.Vehicle.Use))
		return
	}
	falls, err := calc.DischargeTime(bank.ohm, bank.farad, v, limit)
	if err != nil {
		c.NotChecked(k.Path()+".bleed_kOhm", "%s: the time to wait cannot be computed: %v", k.ID, err)
		return
	}
	slow := c.Default("k", "tolerances: capacitance +20 %, resistance +5 to 10 %", slowest, "", "common practice (electrolytic capacitors, IEC 60384-4, from memory)")
	nominal := c.Line("t_n", "time to fall by the nominal values", falls)
	wait := c.Calc("t_60", "time to wait before touching", "k t_n", rules.Term(slow)+" * "+rules.Term(nominal), slow*nominal, "s")
	c.Default("t_max", "longest time allowed", most, "s", "policy.discharge_s")
	if wait > most {
		bank.fixBleed(c, k.ID, v, most)
		c.Fail("capacitors of %s: up to %s to fall from %s V to the 60 V of %s, limit %s s", k.ID, duration(wait), rules.Figure(v), regulation(p.Spec.Vehicle.Use), rules.Figure(most))
		return
	}
	c.Level(rules.Note).Fix("label the cover: open the disconnect, wait %s, measure, and only then touch", duration(wait))
	c.Fail("capacitors of %s: wait %s after opening the disconnect before touching, and measure; they fall from %s V to the 60 V of %s in that time (%s J above it)",
		k.ID, duration(wait), rules.Figure(v), regulation(p.Spec.Vehicle.Use), rules.Figure(energy))
}

// slowest is by how much a discharge may last longer than its nominal values say
// (common practice: electrolytic capacitors +20 %, resistors +5 to 10 %).
const slowest = 1.3

// fixBleed says which resistor beside those that are there brings the capacitors from
// v, in V, below the limit within a time in s.
func (b bank) fixBleed(c *rules.Check, controller string, v, most float64) {
	whole, err := calc.DischargeResistor(most/slowest, b.farad, v, calc.ClassALimitV)
	if err != nil {
		return // the general advice holds
	}
	ohm := whole
	if !math.IsInf(b.ohm, 1) {
		ohm = 1 / (1/whole - 1/b.ohm)
	}
	ohm = rules.RoundDown(ohm, charging.Step(ohm))
	c.Fix("connect a bleed resistor of at most %s across pos and neg of %s (of that value rated at least %s W), and label the cover with the time to wait",
		ohms(ohm), controller, rules.Figure(rules.RoundUp(v*v/ohm, charging.Step(v*v/ohm))))
}

// ohms is a resistance as a person would say it.
func ohms(v float64) string {
	if v >= 1000 {
		return rules.Figure(v/1000) + " kOhm"
	}
	return rules.Figure(v) + " Ohm"
}

// duration is a time in s as a person would say it, rounded up: it errs on the long side.
func duration(s float64) string {
	switch {
	case s > 7200:
		return rules.Figure(rules.RoundUp(s/3600, 1)) + " h"
	case s > 600:
		return rules.Figure(rules.RoundUp(s/60, 1)) + " min"
	}
	return rules.Figure(rules.RoundUp(s, 1)) + " s"
}

// regulation names what sets 60 V for a use.
func regulation(use string) string {
	switch use {
	case "road-light":
		return "UN R136"
	case "road":
		return "UN R100"
	}
	return "voltage class A"
}

// bank is what stays connected to a controller's terminals with every contact open.
type bank struct {
	capacitors []*circuit.Edge
	bleeds     []*circuit.Edge
	farad      float64
	ohm        float64 // +Inf without a bleed resistor
	missing    string  // path of a capacitance that is not known
	battery    string  // that stays connected as well, "" if none does
}

// bankOf finds the capacitors and bleed resistors across what stays connected to
// a controller's terminals.
func bankOf(p *rules.Pass, e *circuit.Edge) bank {
	pos, neg := p.Circuit.Reach(circuit.AllOpen, e.From), p.Circuit.Reach(circuit.AllOpen, e.To)
	b := bank{ohm: math.Inf(1)}
	var siemens float64
	for _, x := range p.Circuit.Edges {
		if !(pos[x.From] && neg[x.To] || pos[x.To] && neg[x.From]) {
			continue
		}
		switch x.Kind {
		case circuit.ControllerEdge, circuit.ConverterInput:
			c := p.Circuit.CapacitanceF(x)
			if !c.Known {
				b.missing = capacitancePath(p, x)
			}
			b.capacitors, b.farad = append(b.capacitors, x), b.farad+c.Or(0)
		case circuit.ResistorEdge:
			ohm, _ := bleedOhm(p, x)
			b.bleeds, siemens = append(b.bleeds, x), siemens+1/ohm
		case circuit.BatteryEdge:
			b.battery = x.Part
		}
	}
	if siemens > 0 {
		b.ohm = 1 / siemens
	}
	return b
}

func capacitancePath(p *rules.Pass, e *circuit.Edge) string {
	if k, ok := p.Spec.Controllers[e.Part]; ok {
		return k.Path() + ".capacitance_uF"
	}
	return p.Spec.Converters[e.Part].Path() + ".input.capacitance_uF"
}

// bleedOhm is the resistance of a resistor's edge, and the path of it.
func bleedOhm(p *rules.Pass, e *circuit.Edge) (ohm float64, path string) {
	if r, ok := p.Spec.Resistors[e.Part]; ok {
		return r.ResistanceOhm, r.Path() + ".resistance_Ohm"
	}
	k := p.Spec.Controllers[e.Part]
	return 1000 * k.BleedKOhm.Value, k.Path() + ".bleed_kOhm"
}

// explain adds capacitance and bleed resistance to a working.
func (b bank) explain(c *rules.Check, p *rules.Pass) {
	var sum, parallel []string
	for _, e := range b.capacitors {
		v := c.Given("C_"+e.Part, "capacitance of "+e.Part, 1e6*p.Circuit.CapacitanceF(e).Value, "uF", capacitancePath(p, e))
		sum = append(sum, rules.Term(v))
	}
	c.Calc("C", "everything that stays connected", "sum", strings.Join(sum, " + "), 1e6*b.farad, "uF")
	for _, e := range b.bleeds {
		ohm, path := bleedOhm(p, e)
		unit := 1.0
		if strings.HasSuffix(path, "_kOhm") {
			unit = 1000
		}
		c.Given("R_"+e.Part, "resistance across it, of "+e.Part, ohm/unit, map[float64]string{1: "Ohm", 1000: "kOhm"}[unit], path)
		parallel = append(parallel, "1 / "+rules.Term(ohm))
	}
	if len(b.bleeds) > 0 {
		c.Calc("R", "resistance that discharges them", "all in parallel", "1 / ("+strings.Join(parallel, " + ")+")", b.ohm, "Ohm")
	}
}
