package contactor

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func timerSupplyOutside() *rules.Rule {
	return &rules.Rule{
		ID:     "timer-supply-outside",
		Family: family,
		Title:  "the supply of a timer leaves the range in which it works",
		Why: "Below its range a timer does not start, starts anew at each sag, or keeps another time than the one that is set; above it its electronics fail, often with the contact closed: " +
			"the contactor then closes without its pre-charge.",
		Relation: "supply_V.min <= lowest voltage at the timer, with the pack empty and the auxiliary battery flat, and highest voltage <= supply_V.max",
		Source:   "data sheet of the timer; circuit theory",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a timer for the voltages of its network, or feed it from where they do not sag",
		Example: rules.Example{Vehicle: "heron", Subject: "soft_timer", Edits: []rules.Edit{
			{Path: "timers.soft_timer.supply_V.max", Value: "13"}}},
		Check: checkTimerSupply,
	}
}

func checkTimerSupply(p *rules.Pass) {
	for _, d := range devices(p) {
		if !d.timer {
			continue
		}
		c := p.Subject(d.id, d.base.Path())
		if pos, neg := d.supply(); !p.Unsound(c, pos, neg) {
			evalTimerSupply(c, p, d)
		}
	}
}

func evalTimerSupply(c *rules.Check, p *rules.Pass, d device) {
	highest, high, failed := d.highestV(p)
	if failed != nil {
		c.Unsettled(failed, d.coilID())
		return
	}
	if highest == 0 {
		c.NotChecked("a mode that feeds "+d.id, "%s: no mode feeds it", d.id)
		return
	}
	lowest, low := math.Inf(1), circuit.Case{}
	for _, f := range d.feeds(p) {
		k := demand.EmptyAlone(f.mode).WithCopper(p.Spec.Vehicle.AmbientC.Max)
		k.Closed = d.ownContacts()
		s := p.Circuit.Solve(k)
		if c.Unsettled(s, d.coilID()) {
			return
		}
		if v := d.coilV(s); v < lowest {
			lowest, low = v, k
		}
	}
	t := p.Spec.Timers[d.id]
	if need := t.SupplyV.Min; lowest < p.Required()*need {
		c.In(low.Mode, low.String())
		c.Solved("V_t", "lowest voltage at "+d.id, lowest, "V", low.String())
		c.Given("V_min", "least at which it works", need, "V", t.Path()+".supply_V.min")
		c.AtLeast(rules.Volts(need), rules.Volts(lowest), "%s: %s V in mode %s at the lowest supply voltage, works from %s V", d.id, rules.Figure(lowest), low.Mode, rules.Figure(need))
		return
	}
	c.In(high.Mode, high.String())
	c.Solved("V_t", "highest voltage at "+d.id, highest, "V", high.String())
	limit := c.Given("V_max", "most at which it works", t.SupplyV.Max, "V", t.Path()+".supply_V.max")
	c.AtMost(rules.Volts(highest), rules.Volts(limit), "%s: %s V in mode %s at the highest supply voltage, works up to %s V", d.id, rules.Figure(highest), high.Mode, rules.Figure(limit))
}
