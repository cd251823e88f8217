package battery

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
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
		Fix:      "set the controller's battery-side limit below the trip current, or use a pack with a higher trip current",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.cutoff.trip_A", Value: "100"}}},
		Check: checkCutoffTrips,
	}
}

func checkCutoffTrips(p *rules.Pass) {
	for _, x := range batteries(p) {
		if x.Cutoff == nil {
			continue
		}
		if c, ok := begin(p, x); ok && x.Known(c) {
			x.checkTrip(c, p)
		}
	}
}

func (x batteryState) checkTrip(c *rules.Check, p *rules.Pass) {
	var worst demand.Use
	for _, f := range x.Currents {
		if u := f.Given; worst.Mode == nil || u.A > worst.A {
			worst = u
		}
	}
	trip, required := x.Cutoff.TripA, p.Required()
	trips := func(a float64) {
		c.Fix("draw at most %s A from %s, or use a pack with a trip current of at least %s A", rules.Figure(rules.RoundDown(trip/required, 1)), x.ID, rules.Figure(rules.RoundUp(a*required, 1)))
		c.Given("I_trip", "trip current of the cut-off of "+x.ID, trip, "A", x.Path()+".cutoff.trip_A")
		c.Given("t_trip", "time to trip at that current", x.Cutoff.TripS, "s", x.Path()+".cutoff.trip_s")
	}
	if k, a := x.limited(p); k != nil && worst.A*required <= trip && a > worst.A {
		c.Level(rules.Warning)
		limit := c.Given("I_lim", "battery-side limit of "+k.ID, k.BatteryPeakA.Value, "A", k.Path()+".battery_peak_A")
		if share := p.Circuit.Share(x.Parallel, x.Own); share < 1 {
			c.Solved("s", "share of "+x.ID+" among the packs in parallel", share, "", "by their typical resistances")
			c.Calc("I", "its share of that", "s I_lim", rules.Term(share)+" * "+rules.Term(limit), a, "A")
		}
		trips(a)
		c.Related(k.Path()+".battery_peak_A", "the controller's limit")
		own := burst{demand.Use{A: a}, k.PeakS.Or(math.Inf(1)), ""}
		if allowed, missing := x.allowedA(own); missing == "" && a > allowed && a*required > trip {
			c.Because("controller-above-battery", k.ID)
		}
		c.AtMost(rules.Amperes(a), rules.Amperes(trip), "%s: %s may draw %s A by its own limit, cut-off trips at %s A", x.ID, k.ID, rules.Figure(a), rules.Figure(trip))
		return
	}
	c.In(worst.Mode.ID, worst.At.String())
	c.Solved("I", "current of "+x.ID+" in mode "+worst.Mode.ID, worst.A, "A", worst.At.String())
	trips(worst.A)
	if worst.A*required > trip && x.peakExceeded(p, worst) && (!demand.Continuous(p.Spec, worst.Mode) || x.Overdrawn(worst) != "") {
		c.Because(batteryPeakHighID, x.ID)
	}
	c.AtMost(rules.Amperes(worst.A), rules.Amperes(trip), "%s: %s A in mode %s, cut-off trips at %s A", x.ID, rules.Figure(worst.A), worst.Mode.ID, rules.Figure(trip))
}

// limited is the controller that may draw most from the battery by its own
// limit, and the battery's share of that in A; nil if none states it.
func (x batteryState) limited(p *rules.Pass) (most *schema.Controller, a float64) {
	for _, k := range x.controllers(p) {
		if part := k.BatteryPeakA.Value * p.Circuit.Share(x.Parallel, x.Own); k.BatteryPeakA.Known && part > a {
			most, a = k, part
		}
	}
	return most, a
}

// controllers lists the controllers that the battery's string can feed.
func (x batteryState) controllers(p *rules.Pass) (out []*schema.Controller) {
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if !k.Spare && p.Circuit.Feeds(x.Own, p.Circuit.Edge(id)) {
			out = append(out, k)
		}
	}
	return out
}
