package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func parallelPackCascade() *rules.Rule {
	return &rules.Rule{
		ID:     "parallel-pack-cascade",
		Family: family,
		Title:  "when one of several packs cuts off, another cannot carry its part",
		Why: "A cell reaches its limit, a fuse blows or a contactor drops: that pack is out, and the others carry all of the current from that moment. " +
			"Where they trip as well the drive is dead within a second, on the hill on which it happened. Where nothing trips they are overloaded, and nobody knows.",
		Relation: "without the pack beside it that takes most, I / (1 - s_lost) in every mode <= trip_A of the battery's cut-off and discharge_A of its switch, and the equivalent continuous current <= continuous_A (and the rating of an internal fuse)",
		Source:   "circuit theory; IEC 60812, one failure at a time (from memory)",
		Level:    rules.Warning,
		Varies:   "note where the pack that is left cuts itself off and the vehicle is driven neither on the road nor on the water",
		Required: 1,
		Policy:   []string{"policy.required.parallel-pack-cascade"},
		Fix:      "use packs each of which carries all that is drawn, or let a pack that cuts off tell the controller to draw less (cutoff.limits_drive)",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: secondPack(`{"role": "traction", "chemistry": "NMC", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": 28, "continuous_A": 100, "peak_A": 320, "peak_s": 60, "charge_max_A": 40, "connect_within_V": 1}`,
			rules.Edit{Path: "batteries.pack.continuous_A", Value: "50"})},
		Check: checkCascade,
	}
}

func checkCascade(p *rules.Pass) {
	eachBeside(p, func(x batteryState) float64 {
		_, share := x.gravestLoss(p)
		i := x.alone(p)
		return i.amperes / (1 - share) / max(i.limit.a, 1e-9)
	}, func(x batteryState, c *rules.Check, gravest string) { x.evalCascade(c, p, gravest) })
}

// pressing is a current of a battery and the limit that it is nearest to.
type pressing struct {
	duty    demand.Duty // of which it is the equivalent continuous current, without a mode where it carries none
	amperes float64
	use     demand.Use
	limit   limitA
}

// alone is the current of the battery that would be most for it times any factor.
func (x batteryState) alone(p *rules.Pass) pressing {
	rated, what, path := x.ratedA()
	duty, _, _ := x.hottest(p, x.Currents, rated)
	i := pressing{duty, duty.EqA, duty.Use, limitA{"I_c", what, path, rated, false}}
	own, ok := x.cutsOffAbove()
	for _, f := range x.Currents {
		if ok && f.Given.A*i.limit.a > i.amperes*own.a {
			i.amperes, i.use, i.limit = f.Given.A, f.Given, own
		}
	}
	return i
}

// limitA is a current that a battery does not carry for long.
type limitA struct {
	symbol, what, path string
	a                  float64
	opens              bool // it cuts itself off above that
}

// cutsOffAbove is the least current at which the battery cuts itself off, if it says so.
func (x batteryState) cutsOffAbove() (l limitA, ok bool) {
	if x.Cutoff != nil {
		l, ok = limitA{"I_trip", "trip current of the cut-off of " + x.ID, x.Path() + ".cutoff.trip_A", x.Cutoff.TripA, true}, true
	}
	if x.BMS != nil && x.BMS.DischargeA.Known && (!ok || x.BMS.DischargeA.Value < l.a) {
		l, ok = limitA{"I_d", "what the switch in " + x.ID + " lets out", x.Path() + ".bms.discharge_A", x.BMS.DischargeA.Value, true}, true
	}
	return l, ok
}

func (x batteryState) evalCascade(c *rules.Check, p *rules.Pass, gravest string) {
	lost, share := x.gravestLoss(p)
	if share == 0 {
		c.Holds(true, "%s has no pack beside it", x.ID)
		return
	}
	i := x.alone(p)
	switch {
	case i.amperes == 0:
		c.Holds(true, "%s carries no current in any mode", x.ID)
		return
	case i.limit.a == 0:
		c.NotChecked(x.Path()+".continuous_A", "%s: its continuous current is not stated", x.ID)
		return
	}
	c.In(i.use.Mode.ID, i.use.At.String())
	if i.limit.opens {
		c.Solved("I", "current of "+x.ID+" in mode "+i.use.Mode.ID, i.amperes, "A", i.use.At.String())
	} else {
		i.duty.Explain(c.Working, x.ID, tauS, "from memory")
	}
	s := c.Solved("s_lost", "share of "+lost.Name()+" among the packs in parallel", share, "", "by their typical resistances")
	a := c.Calc("I'", "what "+x.ID+" carries without it", "I / (1 - s_lost)", rules.Term(i.amperes)+" / (1 - "+rules.Term(s)+")", i.amperes/(1-share), "A")
	c.Given(i.limit.symbol, i.limit.what, i.limit.a, "A", i.limit.path)
	if told := toldOf(p, lost); told != "" {
		c.AsDeclared(told, "the controller draws less when "+lost.Name()+" has cut itself off")
		c.Holds(true, "%s: the drive draws less when %s is out", x.ID, lost.Name())
		return
	}
	if gravest != x.ID && a*p.Required() > i.limit.a {
		c.Because(p.Rule.ID, gravest)
	}
	x.sayCascade(c, p, lost.Name(), a, i)
}

// toldOf is the path by which the string that is lost says that it limits the drive; "" where
// one of its batteries does not.
func toldOf(p *rules.Pass, lost circuit.SeriesString) (path string) {
	for _, b := range lost {
		cut := p.Spec.Batteries[b.ID].Cutoff
		if cut == nil || !cut.LimitsDrive {
			return ""
		}
		path = b.Path + ".cutoff.limits_drive"
	}
	return path
}

func (x batteryState) sayCascade(c *rules.Check, p *rules.Pass, lost string, a float64, i pressing) {
	most := i.limit
	then := "and nothing says so"
	if own, ok := x.cutsOffAbove(); ok && a > own.a {
		then = "and cuts itself off as well: the drive is dead"
		if use := p.Spec.Vehicle.Use; use == "off-road" || use == "track" {
			c.Level(rules.Note)
		}
	}
	if i.amperes > most.a {
		primary := batteryOverloadedID
		if most.opens {
			primary = "battery-cutoff-trips"
		}
		c.Because(primary, x.ID)
	}
	limit := "rated " + rules.Figure(most.a) + " A continuous"
	if most.opens {
		limit = "it cuts itself off above " + rules.Figure(most.a) + " A"
	}
	c.Fix("use packs rated for at least %s A each, or let a pack that cuts off tell the controller to draw less (cutoff.limits_drive)", rules.Figure(rules.RoundUp(a*p.Required(), 1)))
	text := ""
	if a*p.Required() > most.a {
		text = ", " + then
	}
	c.AtMost(rules.Amperes(a), rules.Amperes(most.a), "%s: %s A in mode %s when %s is out, %s%s", x.ID, rules.Figure(a), i.use.Mode.ID, lost, limit, text)
}
