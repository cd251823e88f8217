package battery

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// emptyCharge is what the converters push into an empty auxiliary battery; failed is a
// solution that it would rest on and that is of no use.
func (x batteryState) emptyCharge(p *rules.Pass) (k charge, ok bool, failed *circuit.Solution) {
	switch x.Chemistry {
	case "LFP", "NMC", "NCA", "LCO", "LTO":
		k, ok = x.emptyLithium(p)
		return k, ok, nil
	}
	if x.Role != "auxiliary" || !x.ChargeMaxA.Known || x.standby(p) {
		return charge{}, false, nil
	}
	return x.flatCharge(p)
}

// emptyLithium is the limit of a converter that is all that bounds the current: cells
// of lithium have none of their own.
func (x batteryState) emptyLithium(p *rules.Pass) (charge, bool) {
	ohm, missing := x.Own.Ohm(p.Circuit, circuit.Typical)
	for _, id := range x.FedBy() {
		v := p.Spec.Converters[id].Output.NominalV
		limit, from := p.Circuit.ConverterLimitA(id)
		least := x.Own.V(p.Spec, circuit.Lowest)
		if missing != "" || v <= least || (v-least)/ohm < limit {
			continue // its own resistance holds the current down, or it is not known
		}
		return charge{a: limit, what: "by " + id + " when empty", explain: func(c *rules.Check) {
			c.Related(p.Spec.Converters[id].Path(), "the converter")
			c.Given("I_lim", "current limit of "+id+", all of it into the empty battery", limit, "A", from)
		}}, true
	}
	return charge{}, false
}

// flatCharge is the most that a mode drives into the flat battery through the
// resistances on the way.
func (x batteryState) flatCharge(p *rules.Pass) (k charge, ok bool, failed *circuit.Solution) {
	var at circuit.Case
	for _, mode := range p.Circuit.Modes() {
		s := p.Circuit.Solve(demand.Recharging(mode))
		if !s.Settled(x.ID) {
			return charge{}, false, s
		}
		if a := s.Current(x.ID); a >= demand.LeastA && a > k.a*(1+1e-9) {
			k.a, at = a, s.Case
		}
	}
	if k.a == 0 {
		return charge{}, false, nil
	}
	k.what = "when flat"
	k.fix = x.gentler(p, k.a)
	k.explain = func(c *rules.Check) {
		for _, v := range x.chargedFrom(p) {
			c.Related(v.Path(), "the converter")
		}
		c.In(at.Mode, at.String())
		c.Solved("I", "current into "+x.ID+" when flat, from the converters at their limits", k.a, "A", at.String())
	}
	return k, true, nil
}

// gentler says what to do about a current in A into the flat battery.
func (x batteryState) gentler(p *rules.Pass, a float64) string {
	text := fmt.Sprintf("use a battery with charge_max_A of at least %s, or charge it through a charger of its own that gives no more than %s A",
		rules.Figure(rules.RoundUp(a*p.Required(), 1)), rules.Figure(rules.RoundDown(x.ChargeMaxA.Value/p.Required(), 0.1)))
	if x.floatsAt(p, x.heldV(p)) {
		text += "; if its sheet allows standby use at that voltage without a limit of the first current, state its float_A"
	}
	return text
}

// standby reports whether the battery is in the use for which its sheet gives a float
// current: on a voltage that it bears for good. Lead-acid cells take their charge
// there as their own voltage lets them, and their makers ask for no limit (common
// practice); charge_max_A is then that of charging cycles at a higher voltage.
func (x batteryState) standby(p *rules.Pass) bool {
	return x.FloatA.Known && x.floatsAt(p, x.heldV(p))
}

// floatsAt reports whether the cells of its string are of lead-acid and bear a voltage
// in V across the string for good.
func (x batteryState) floatsAt(p *rules.Pass, volts float64) bool {
	most := 0.0
	for _, own := range x.Own {
		b := p.Spec.Batteries[own.ID]
		w, ok := calc.ChargeVoltages(b.Chemistry, b.LeadAcid)
		n, _ := calc.Cells(b.Chemistry, b.NominalV, b.MaxV)
		if b.Series.Known {
			n = int(b.Series.Value)
		}
		if !ok || b.Chemistry != "lead-acid" {
			return false
		}
		most += float64(n) * w.FloatMaxV
	}
	return volts <= most+1e-9
}

// heldV is the highest voltage in V to which a converter is set that charges the
// battery.
func (x batteryState) heldV(p *rules.Pass) (v float64) {
	for _, from := range x.chargedFrom(p) {
		v = max(v, from.Output.NominalV)
	}
	return v
}

// chargedFrom lists the converters that charge the battery, by id.
func (x batteryState) chargedFrom(p *rules.Pass) (out []*schema.Converter) {
	for id, v := range schema.Sorted(p.Spec.Converters) {
		if e := p.Circuit.Edge(id + ".out"); e != nil && !v.Spare && p.Circuit.Charges(e, x.Own) {
			out = append(out, v)
		}
	}
	return out
}
