package battery

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/schema"
)

func batteryCutoffTrips() *rules.Rule {
	return &rules.Rule{
		ID:     "battery-cutoff-trips",
		Family: family,
		Title:  "the battery's own cut-off trips in use",
		Why: "A pack that protects itself opens without a warning, under full load, on the hill or in the junction where the load is greatest. " +
			"The drive is gone at once, and with it the converter that feeds lamps and coils.",
		Relation: "1.1 times the current of every mode, and of the controllers' battery-side limits, <= cutoff.trip_A",
		Source:   "common practice: the factor covers the tolerance of the trip current",
		Level:    rules.Error,
		Varies:   "warning where only a controller's own limit, and no declared mode, reaches it",
		Required: 1.1,
		Policy:   []string{"policy.required.battery-cutoff-trips"},
		Fix:      "set the controller's battery-side limit below the trip current, or use a pack that trips later",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.cutoff.trip_A", Value: "100"}}},
		Check: checkCutoffTrips,
	}
}

func checkCutoffTrips(p *rules.Pass) {
	for _, x := range stands(p) {
		if x.b.Cutoff == nil {
			continue
		}
		if c, ok := begin(p, x); ok && x.ready(c, p) {
			x.judgeCutoff(c, p)
		}
	}
}

func (x *stand) judgeCutoff(c *rules.Check, p *rules.Pass) {
	var worst capacity.Use
	for _, f := range x.flows {
		if u := f.given(); worst.Mode == nil || u.A > worst.A {
			worst = u
		}
	}
	trip, required := x.b.Cutoff.TripA, required(p)
	trips := func() {
		c.Given("I_trip", "current at which "+x.b.ID+" cuts off", trip, "A", x.b.Path()+".cutoff.trip_A")
		c.Given("t_trip", "time after which it does", x.b.Cutoff.TripS, "s", x.b.Path()+".cutoff.trip_s")
	}
	if k, a := x.limited(p); k != nil && worst.A*required <= trip && a > worst.A {
		c.Level(rules.Warning)
		limit := c.Given("I_lim", "battery-side limit of "+k.ID, k.BatteryPeakA.Value, "A", k.Path()+".battery_peak_A")
		if share := p.Circuit.Share(x.parallel, x.own); share < 1 {
			c.Solved("s", "share of "+x.b.ID+" among the packs in parallel", share, "", "by their typical resistances")
			c.Calc("I", "its part of that", "s I_lim", term(share)+" * "+term(limit), a, "A")
		}
		trips()
		c.Related(k.Path()+".battery_peak_A", "the controller's limit")
		own := burst{capacity.Use{A: a}, k.PeakS.Or(math.Inf(1)), ""}
		if gives, missing := x.allowedA(own); missing == "" && a > gives && a*required > trip {
			c.Because("controller-above-battery", k.ID)
		}
		c.AtMost(amperes(a), amperes(trip), "%s may draw %s A from %s by its own limit; the pack cuts off at %s A", k.ID, figure(a), x.b.ID, figure(trip))
		return
	}
	c.In(worst.Mode.ID, worst.At.String())
	c.Solved("I", "current of "+x.b.ID+" in mode "+worst.Mode.ID, worst.A, "A", worst.At.String())
	trips()
	if worst.A*required > trip && x.peakExceeded(p, worst) && (!capacity.Lasting(p.Spec, worst.Mode) || x.peaking(p, worst) != "") {
		c.Because(batteryPeakHighID, x.b.ID)
	}
	c.AtMost(amperes(worst.A), amperes(trip), "%s gives %s A in mode %s; it cuts off at %s A", x.b.ID, figure(worst.A), worst.Mode.ID, figure(trip))
}

// limited is the controller that may draw most from the battery by its own
// limit, and the battery's part of that in A; nil if none states it.
func (x *stand) limited(p *rules.Pass) (most *schema.Controller, a float64) {
	for _, k := range x.controllers(p) {
		if part := k.BatteryPeakA.Value * p.Circuit.Share(x.parallel, x.own); k.BatteryPeakA.Known && part > a {
			most, a = k, part
		}
	}
	return most, a
}

// controllers lists the controllers that the battery's string can feed.
func (x *stand) controllers(p *rules.Pass) (out []*schema.Controller) {
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if !k.Spare && p.Circuit.Feeds(x.own, p.Circuit.Edge(id)) {
			out = append(out, k)
		}
	}
	return out
}
