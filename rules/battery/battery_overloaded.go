package battery

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

const batteryOverloadedID = "battery-overloaded"

func batteryOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     batteryOverloadedID,
		Family: family,
		Title:  "a battery is loaded above its continuous current, in one mode or over the cycle",
		Why: "Cells above their continuous current heat from within, where no cooling reaches them. They age within a season, their tabs and welds " +
			"run hot, and the weakest cell of the string is the one that fails, in the worst case with fire.",
		Relation: "the current of every continuous mode <= continuous_A (and the rating of an internal fuse); the equivalent continuous current of the declared " +
			"cycle, or of a repeated mode, <= the same",
		Source: "data sheet; thermal replica of IEC 60255-149 in its periodic state, which is the root mean square for short cycles; " +
			"time constant of 30 min from memory",
		Level:    rules.Error,
		Varies:   "warning for an auxiliary battery that is overloaded only when its converter has failed",
		Required: 1,
		Policy:   []string{"policy.required.battery-overloaded"},
		Vital:    []string{"batteries.continuous_A", "modes.lasts_s"},
		Fix:      "use a battery with a higher continuous current, or limit what the controller draws",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.continuous_A", Value: "40"}}},
		Check: checkOverloaded,
	}
}

// tauS is the time constant in s of the heating of a battery: a block of cells
// takes half an hour to some hours to reach its temperature. The shorter heats
// sooner.
const tauS = 1800

func checkOverloaded(p *rules.Pass) {
	for _, x := range batteries(p) {
		if c, ok := begin(p, x); ok && x.Known(c) {
			x.checkLoad(c, p)
		}
	}
}

// ratedA is the continuous current that a battery is rated for, and the path of
// the value that sets it: the battery's own or its internal fuse's.
func (x batteryState) ratedA() (limit float64, what, path string) {
	b := x.Battery.Battery
	limit, what, path = b.ContinuousA.Value, "continuous current of "+b.ID, b.Path()+".continuous_A"
	if b.InternalFuseA.Known && (!b.ContinuousA.Known || b.InternalFuseA.Value < limit) {
		limit, what, path = b.InternalFuseA.Value, "rating of the internal fuse of "+b.ID, b.Path()+".internal_fuse_A"
	}
	return limit, what, path
}

func (x batteryState) checkLoad(c *rules.Check, p *rules.Pass) {
	limit, what, path := x.ratedA()
	duty, endless, peak := x.hottest(p, x.Currents, limit)
	alone := false
	if d, _, _ := x.hottest(p, x.Alone, limit); d.EqA > limit && duty.EqA <= limit {
		duty, alone = d, true
		c.Level(rules.Warning)
	}
	switch {
	case duty.EqA == 0 && endless.Mode == nil:
		c.Holds(true, "%s carries no current in any mode", x.ID)
		return
	case duty.EqA <= limit && endless.Mode != nil && x.ContinuousA.Known:
		c.NotChecked(endless.Mode.Path()+".lasts_s", "%s: %s A in mode %s, rated %s A continuous; %s cannot draw that continuously, so the mode needs its duration",
			x.ID, rules.Figure(endless.A), endless.Mode.ID, rules.Figure(limit), peak)
		return
	case !x.ContinuousA.Known && (limit == 0 || duty.EqA <= limit):
		c.NotChecked(x.Path()+".continuous_A", "%s: its continuous current is not stated", x.ID)
		return
	}
	c.In(duty.Mode.ID, duty.At.String())
	duty.Explain(c.Working, x.ID, tauS, "from memory")
	c.Given("I_c", what, limit, "A", path)
	c.Fix("use a battery rated for at least %s A continuous, or limit what is drawn to %s A on average", rules.Figure(rules.RoundUp(duty.EqA*p.Required(), 1)), rules.Figure(rules.RoundDown(limit/p.Required(), 1)))
	demand := fmt.Sprintf("%s: %s A in mode %s", x.ID, rules.Figure(duty.EqA), duty.Mode.ID)
	switch {
	case duty.Cycle:
		demand = fmt.Sprintf("%s: equivalent continuous current %s A over the cycle", x.ID, rules.Figure(duty.EqA))
	case duty.Steps != nil:
		demand = fmt.Sprintf("%s: equivalent continuous current %s A in repeated mode %s", x.ID, rules.Figure(duty.EqA), duty.Mode.ID)
	}
	if duty.EqA > limit && duty.Steps != nil && x.continuousA(p) <= limit && x.peakExceeded(p, duty.Use) {
		c.Because(batteryPeakHighID, x.ID)
	}
	if alone {
		demand += " with the converter off"
	}
	c.AtMost(rules.Amperes(duty.EqA), rules.Amperes(limit), "%s, rated %s A continuous", demand, rules.Figure(limit))
}

// continuousA is the greatest current that the battery carries in a continuous
// mode.
func (x batteryState) continuousA(p *rules.Pass) (a float64) {
	for _, f := range x.Currents {
		if demand.Continuous(p.Spec, f.Mode) {
			a = max(a, f.Given.A)
		}
	}
	return a
}

// hottest finds what heats the battery most. A mode continuously above the limit
// that a controller's continuous rating does not allow is left out and returned
// by itself. In a cycle the charging current heats as well; continuously only the
// discharge counts, since charging has limits of its own.
func (x batteryState) hottest(p *rules.Pass, flows []demand.BatteryCurrent, limit float64) (duty demand.Duty, endless demand.Use, peak string) {
	var uses []demand.Use
	for _, f := range flows {
		u := f.Given
		if !demand.Continuous(p.Spec, f.Mode) {
			uses = append(uses, f.Greatest())
			continue
		}
		if id := x.Overdrawn(u); id != "" && u.A > limit {
			if u.A >= endless.A {
				endless, peak = u, id
			}
			continue
		}
		uses = append(uses, u)
	}
	duty, _ = demand.Hottest(p.Spec, uses, tauS)
	return duty, endless, peak
}
