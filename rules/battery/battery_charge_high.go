package battery

import (
	"cmp"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

const (
	regenerationHighID = "regeneration-high"
	bmsOverloadedID    = "bms-overloaded"
)

func batteryChargeHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "battery-charge-high",
		Family: family,
		Title:  "a battery is charged with more current than it is rated for",
		Why: "Lithium cells that are charged too fast plate metal: capacity is lost permanently and the plated metal grows " +
			"towards the other electrode. A pack with a cut-off opens its charging path instead, in the middle of braking.",
		Relation: "charge_max_A, or bms.charge_A if the switch in the pack lets less in, >= the charging current of every mode (charge_peak_A while braking lasts no longer than charge_peak_s at a time), max_A of every charger on the battery, its float current on a running converter; " +
			"for a lithium auxiliary battery also the current limit of the converter that charges it from empty; for any other that states charge_max_A the current that the converters drive into it when it is flat, " +
			"unless it floats by its sheet (float_A) on no more than 2.30 V per lead-acid cell, where it limits its current itself",
		Source:   "data sheet; circuit theory; a lead-acid battery in standby use needs no limit of its first current: common practice",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.battery-charge-high"},
		Vital:    []string{"batteries.charge_max_A"},
		Fix:      "use a smaller charger, lower the regeneration, or use a battery with a higher charge_max_A",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "chargers.charger.max_A", Value: "60"}}},
		Check: checkChargeHigh,
	}
}

func checkChargeHigh(p *rules.Pass) {
	for _, x := range batteries(p) {
		c, ok := begin(p, x)
		switch {
		case !ok:
		case !x.Solved(c):
		default:
			x.checkCharge(c, p)
		}
	}
}

// charge is a current into a battery and where it comes from.
type charge struct {
	a       float64
	what    string
	explain func(*rules.Check)
	fix     string // "" for that of any charge
	// regenerating is the controller that feeds it back, "" for any other charge.
	regenerating string
	burst        capacity.Burst
}

// over is the charge over what the battery takes for as long.
func (k charge) over(b *schema.Battery) float64 {
	limit, _ := capacity.ChargeA(b, k.burst)
	return k.a / limit.Value
}

func (x batteryState) checkCharge(c *rules.Check, p *rules.Pass) {
	list := slices.Concat(x.modeCharges(p), x.chargerCharges(p))
	limit := x.ChargeMaxA
	empty, ok, failed := x.emptyCharge(p)
	if failed != nil && c.Unsettled(failed, x.ID) {
		return
	}
	if ok && !slices.ContainsFunc(list, func(k charge) bool { return k.a > limit.Or(0) }) {
		list = append(list, empty)
	}
	if ids := x.FedBy(); len(list) == 0 && len(ids) > 0 {
		c.Holds(true, "%s floats on %s and limits its charging current itself", x.ID, ids[0])
		return
	}
	if len(list) == 0 {
		c.Holds(true, "nothing charges %s", x.ID)
		return
	}
	if !limit.Known {
		c.NotChecked(x.Path()+".charge_max_A", "%s: charged with %s A %s; its limit is not stated", x.ID, rules.Figure(list[0].a), list[0].what)
		return
	}
	worst := slices.MaxFunc(list, func(a, b charge) int { return cmp.Compare(a.over(x.Battery.Battery), b.over(x.Battery.Battery)) })
	worst.explain(c)
	limit = x.explainLimit(c, worst.burst)
	c.Fix("charge %s with at most %s A, or use a battery with charge_max_A of at least %s", x.ID, rules.Figure(rules.RoundDown(limit.Value/p.Required(), 1)), rules.Figure(rules.RoundUp(worst.a*p.Required(), 1)))
	if _, field := capacity.ChargeA(x.Battery.Battery, worst.burst); field == capacity.SwitchCharge {
		c.Fix("charge %s with at most %s A, or use a pack whose switch lets at least %s A in", x.ID, rules.Figure(rules.RoundDown(limit.Value/p.Required(), 1)), rules.Figure(rules.RoundUp(worst.a*p.Required(), 1)))
	}
	if worst.fix != "" {
		c.Fix("%s", worst.fix)
	}
	if k := p.Spec.Controllers[worst.regenerating]; k != nil && capacity.ChargeExceeded(p.Circuit, k, demand.Braking(p.Spec, k.ID)) {
		c.Because(regenerationHighID, worst.regenerating)
	}
	c.AtMost(rules.Amperes(worst.a), rules.Amperes(limit.Value), "%s: charged with %s A %s, limit %s A", x.ID, rules.Figure(worst.a), worst.what, rules.Figure(limit.Value))
}

// explainLimit adds what the battery takes in a burst, and returns it in A.
func (x batteryState) explainLimit(c *rules.Check, u capacity.Burst) schema.Number {
	limit, field := capacity.ChargeA(x.Battery.Battery, u)
	switch {
	case field == capacity.SwitchCharge:
		c.Given("I_ch", "what the switch in "+x.ID+" lets into it", limit.Value, "A", x.Path()+"."+field)
		c.Because(bmsOverloadedID, x.ID) // if a mode does so
	case field == "charge_peak_A":
		c.Solved("t", "longest time that the mode lasts", u.S, "s", "the mode and the cycle")
		c.Given("I_ch", "charging current limit of "+x.ID+" for as long", limit.Value, "A", x.Path()+"."+field)
	case limit != x.ChargeMaxA:
		c.Given("I_ch", "charging current limit of "+x.ID, x.ChargeMaxA.Value, "A", x.Path()+"."+field)
		share := c.Solved("q", "share of the time that it is charged so", u.Share, "", "the mode and the cycle")
		c.Calc("I_lim", "with that in the mean of all time", "I_ch / q", rules.Term(x.ChargeMaxA.Value)+" / "+rules.Term(share), limit.Value, "A")
	default:
		c.Given("I_ch", "charging current limit of "+x.ID, limit.Value, "A", x.Path()+"."+field)
	}
	return limit
}

// modeCharges are the charging currents of the modes.
func (x batteryState) modeCharges(p *rules.Pass) (out []charge) {
	for _, f := range x.Currents {
		if f.Taken.A == 0 {
			continue
		}
		k := charge{a: f.Taken.A, what: "in mode " + f.Mode.ID, explain: func(c *rules.Check) {
			c.In(f.Mode.ID, f.Taken.At.String())
			c.Solved("I", "current into "+x.ID+" in mode "+f.Mode.ID, f.Taken.A, "A", f.Taken.At.String())
		}}
		for _, from := range x.controllers(p) {
			if d := f.Mode.Draw[from.ID]; d != nil && d.RegenA.Known && len(f.Mode.Connected) == 0 {
				k.regenerating, k.burst = from.ID, demand.Braking(p.Spec, from.ID)
			}
		}
		out = append(out, k)
	}
	return out
}

// chargerCharges are what the chargers wired to the battery can supply, whether a
// mode connects them or not.
func (x batteryState) chargerCharges(p *rules.Pass) (out []charge) {
	share := p.Circuit.Share(x.Parallel, x.Own)
	for _, ch := range chargers(p) {
		if !x.chargedBy(p, ch) {
			continue
		}
		out = append(out, charge{a: share * ch.MaxA, what: "by " + ch.ID, explain: func(c *rules.Check) {
			c.Related(ch.Path()+".max_A", "the charger")
			most := c.Given("I_max", "highest output current of "+ch.ID, ch.MaxA, "A", ch.Path()+".max_A")
			if share < 1 {
				c.Solved("s", "share of "+x.ID+" among the packs in parallel", share, "", "by their typical resistances")
				c.Calc("I", "its share of that", "s I_max", rules.Term(share)+" * "+rules.Term(most), share*ch.MaxA, "A")
			}
		}})
	}
	return out
}

// chargers lists the chargers that are wired, by id.
func chargers(p *rules.Pass) (out []*schema.Charger) {
	for id, ch := range schema.Sorted(p.Spec.Chargers) {
		if !ch.Spare && p.Circuit.Connected(id+".pos") && p.Circuit.Connected(id+".neg") {
			out = append(out, ch)
		}
	}
	return out
}

func (x batteryState) chargedBy(p *rules.Pass, ch *schema.Charger) bool {
	return p.Circuit.Charges(p.Circuit.Edge(ch.ID), x.Own)
}

// charged lists the strings that a charger charges.
func charged(p *rules.Pass, ch *schema.Charger) (out []circuit.SeriesString) {
	for _, s := range p.Circuit.Strings() {
		if p.Circuit.Charges(p.Circuit.Edge(ch.ID), s) {
			out = append(out, s)
		}
	}
	return out
}
