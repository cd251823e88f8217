package connector

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func loadStaysLive() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-load-stays-live",
		Family: family,
		Title:  "the pins on the load side of a parted connector stay charged above 60 V for more than a second",
		Why: "The capacitors of the controller hold the pack's voltage on the pins of the half that is pulled out, and these are the ones that stick out. " +
			"A bleed resistor that is comfortable for the battery takes many seconds.",
		Relation: "t = R C ln(V_max / 60 V) <= 1 s with all bleed resistors behind it, or the half is touch-safe (unmated: ipxxb), or a tool opens the connector",
		Source:   "UN R100 5.1.1.3, FMVSS 305 S5.4.1.4 (from memory); discharge of capacitors",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"connectors.unmated", "controllers.capacitance_uF", "controllers.bleed_kOhm"},
		Fix:      "use a half with shrouded contacts on the load side, or discharge the capacitors by a contact that closes when it parts",
		Example: rules.Example{Vehicle: "heron", Subject: "pack_plug", Edits: []rules.Edit{
			{Path: "connectors.pack_plug", Value: packPlug},
			{Path: "wires.w_pack_fuse.to", Value: `"pack_plug.a1"`},
			{Path: "wires.w_plug", Value: `{"from": "pack_plug.b1", "to": "main.a", "size": "50 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`}}},
		Check: checkLoadSide,
	}
}

// packPlug is the connector of examples: one pole of a battery.
const packPlug = `{"use": "battery", "contacts": [{"carry_A": 200, "rated_V_dc": 150}], "breaks": "none", "lock": "latch", "unmated": {"a": "ipxxb", "b": "open"}, "make_A": 100}`

func checkLoadSide(p *rules.Pass) {
	each(p, func(c *rules.Check, k plug) {
		if k.Use == "inlet" {
			c.Holds(true, "%s: a charger's own output is discharged by it", k.ID)
			return
		}
		behind := k.controllers(p)
		v, found, _ := k.workingV(c, p)
		switch {
		case !found || v <= calc.ClassALimitV:
			c.Holds(true, "%s: no more than 60 V in its circuit", k.ID)
		case len(behind) == 0:
			c.Holds(true, "%s: no controller's capacitors hang on it alone", k.ID)
		case k.Lock == "tool":
			c.Holds(true, "%s is opened with a tool", k.ID)
		case k.Unmated.B == "ipxxb":
			c.Holds(true, "%s: its half on the load side is touch-safe", k.ID)
		case k.Unmated.B == "":
			c.NotChecked(k.Path()+".unmated.b", "%s: the capacitors behind it stay charged when it is parted; whether its half there can be touched is not given", k.ID)
		default:
			k.evalLoadSide(c, p, behind, v)
		}
	})
}

func (k plug) evalLoadSide(c *rules.Check, p *rules.Pass, behind []*schema.Controller, v float64) {
	var microfarad, siemens float64
	var capacitors, bleeds []string
	for _, d := range behind {
		for _, need := range []struct {
			n     schema.Number
			field string
		}{{d.CapacitanceUF, ".capacitance_uF"}, {d.BleedKOhm, ".bleed_kOhm"}} {
			if !need.n.Known {
				c.NotChecked(d.Path()+need.field, "%s: how long the pins on its load side stay live depends on %s of %s, which is not given", k.ID, need.field[1:], d.ID)
				return
			}
		}
		capacitors = append(capacitors, rules.Term(c.Given("C_"+d.ID, "capacitance of "+d.ID, d.CapacitanceUF.Value, "uF", d.Path()+".capacitance_uF")))
		bleeds = append(bleeds, "1 / "+rules.Term(c.Given("R_"+d.ID, "bleed resistance of "+d.ID, d.BleedKOhm.Value, "kOhm", d.Path()+".bleed_kOhm")))
		microfarad += d.CapacitanceUF.Value
		siemens += 1 / d.BleedKOhm.Value
	}
	uF := c.Calc("C", "capacitance behind it", "sum", strings.Join(capacitors, " + "), microfarad, "uF")
	kOhm := c.Calc("R", "bleed resistance behind it", "1 / sum of 1/R", "1 / ("+strings.Join(bleeds, " + ")+")", 1/siemens, "kOhm")
	limit := c.Standard("V_A", "limit of voltage class A", calc.ClassALimitV, "V DC", "ISO 6469-3, UN R100, UN R136")
	l, err := calc.FallTime(v, limit, 1000*kOhm, uF/1e6)
	if err != nil {
		c.NotChecked(behind[0].Path()+".bleed_kOhm", "%s: %v", k.ID, err)
		return
	}
	t := c.Line("t", "time until its pins are at 60 V", l)
	allowed := c.Standard("t_max", "time after parting", 1, "s", "UN R100 5.1.1.3, from memory")
	c.AtMost(rules.Quantity{Value: t, Unit: "s"}, rules.Quantity{Value: allowed, Unit: "s"}, "%s: the pins on its load side stay above 60 V for %s s after it is parted at %s V, and can be touched",
		k.ID, rules.Figure(t), rules.Figure(v))
}

// controllers lists those that metal joins to the load side of the connector, but not to
// its source without it.
func (k plug) controllers(p *rules.Pass) (out []*schema.Controller) {
	left := circuit.Without(circuit.AllClosed, k.all()...)
	for id, d := range schema.Sorted(p.Spec.Controllers) {
		e := p.Circuit.Edge(id)
		for _, x := range k.power {
			if !d.Spare && (p.Circuit.Reaches(x.To, e.From, left) || p.Circuit.Reaches(x.To, e.To, left)) && !k.fedPast(p, e, left) {
				out = append(out, d)
				break
			}
		}
	}
	return out
}

// fedPast reports whether a battery feeds a controller past the connector.
func (k plug) fedPast(p *rules.Pass, e *circuit.Edge, left circuit.Passes) bool {
	for _, s := range p.Circuit.Strings() {
		if p.Circuit.Reaches(s.Pos(), e.From, left) && p.Circuit.Reaches(e.To, s.Neg(), left) {
			return true
		}
	}
	return false
}
