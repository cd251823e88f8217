package contactor

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func coilOutputOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "coil-output-overloaded",
		Family: family,
		Title:  "the coils on a controller's output draw more than it can supply",
		Why: "The transistor that drives a contactor's coil is small. Overloaded it switches off, and the contactor drops out while driving, or it fails short-circuited " +
			"and the contactor stays closed whatever the controller does.",
		Relation: "sum of the currents of all coils on the output <= coil_out.max_A, coils cold, supply at its highest; of a coil with an economiser its pick-up current",
		Source:   "data sheet of the controller; copper resistance by IEC 60028",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"controllers.coil_out.max_A"},
		Fix:      "drive the coils through a relay, or use a coil that draws less",
		Policy:   []string{"policy.required.coil-output-overloaded"},
		Example: rules.Example{Vehicle: "mole", Subject: "drive", Edits: []rules.Edit{
			{Path: "controllers.drive.coil_out.max_A", Value: "0.1"}}},
		Check: checkCoilOutput,
	}
}

func checkCoilOutput(p *rules.Pass) {
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		terminal := id + ".coil_out"
		if k.Spare || k.CoilOut == nil || !p.Circuit.Connected(terminal) {
			continue
		}
		c := p.Subject(id, k.Path())
		if p.Unsound(c, terminal, id+".neg") {
			continue
		}
		evalCoilOutput(c, p, k)
	}
}

func evalCoilOutput(c *rules.Check, p *rules.Pass, k *schema.Controller) {
	driver := k.ID + ".coil_out"
	var most float64
	var at circuit.Case
	for _, state := range outputStates(p) {
		s := p.Circuit.Solve(state)
		if !s.Settled(driver) {
			c.Unsettled(s, driver)
			return
		}
		if i := math.Abs(s.Current(driver)); i > most*(1+1e-9) {
			most, at = i, state
		}
	}
	switch {
	case most == 0:
		c.Holds(true, "coil output of %s: no current in any mode", k.ID)
	case !k.CoilOut.MaxA.Known:
		c.NotChecked(k.Path()+".coil_out.max_A", "coil output of %s: its coils draw %s A in mode %s, what it can supply is not given", k.ID, rules.Figure(most), at.Mode)
	default:
		c.In(at.Mode, at.String())
		c.Solved("I", "current of the coils on "+driver, most, "A", at.String())
		limit := c.Given("I_max", "current that the output can supply", k.CoilOut.MaxA.Value, "A", k.Path()+".coil_out.max_A")
		c.Fix("use coils on %s that together draw at most %s A when cold, or drive them through a relay whose coil draws no more than that", driver, rules.Figure(rules.RoundDown(limit/p.Required(), 0.01)))
		c.AtMost(rules.Amperes(most), rules.Amperes(limit), "coil output of %s: its coils draw %s A in mode %s, it can supply %s A", k.ID, rules.Figure(most), at.Mode, rules.Figure(limit))
	}
}

// outputStates are the states in which coils draw most: cold, at the highest
// supply, held and at the instant in which all are still to pull in.
func outputStates(p *rules.Pass) (out []circuit.Case) {
	for _, mode := range p.Circuit.States() {
		for _, start := range []circuit.Start{circuit.FromClosed, circuit.FromOpen} {
			k := demand.Full(mode)
			k.Coil, k.Start, k.NoDraw = circuit.CoilCold, start, true
			if start == circuit.FromOpen {
				k.Waiting = coilIDs(p)
			}
			out = append(out, k)
		}
	}
	return out
}

// coilIDs lists every contactor, relay and timer, as [circuit.Case] wants them.
func coilIDs(p *rules.Pass) string {
	ids := ""
	for id := range schema.Sorted(p.Spec.Contactors) {
		ids += " " + id
	}
	for id := range schema.Sorted(p.Spec.Relays) {
		ids += " " + id
	}
	for id := range schema.Sorted(p.Spec.Timers) {
		ids += " " + id
	}
	return ids
}
