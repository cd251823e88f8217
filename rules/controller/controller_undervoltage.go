package controller

import (
	"fmt"
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

const controllerUndervoltageID = "controller-undervoltage"

func controllerUndervoltage() *rules.Rule {
	return &rules.Rule{
		ID:     controllerUndervoltageID,
		Family: family,
		Title:  "under load the controller's supply falls below its lowest voltage",
		Why: "A pack that is nearly empty, cold or old sags by volts when the motor pulls. Below its lowest voltage the controller switches the drive " +
			"off, on the hill or in the middle of the crossing, and comes back as soon as the throttle is released.",
		Relation: "V at the controller >= min_V in every mode that draws, pack at min_V, copper hot, the battery at its greatest resistance: as declared, else " +
			"the typical one as its chemistry has it at the lowest temperature of the mode, and at least policy.battery_resistance_max_factor of it; a controller that draws in a mode is connected to a battery at both poles, and fed in that mode",
		Source:   "circuit theory; the resistance of cold cells: Arrhenius' law through points of common practice",
		Level:    rules.Error,
		Varies:   "warning where the pack at rest is below min_V already",
		Required: 1,
		Policy:   []string{"policy.battery_resistance_max_factor", "policy.terminal_max_C", "policy.required.controller-undervoltage"},
		Vital:    []string{"batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "draw less in that mode near the end of the charge, use thicker or shorter cables or a pack of lower resistance, or lower the controller's lowest voltage if the cells allow it",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "controllers.drive.min_V", Value: "57"}}},
		Check: checkUndervoltage,
	}
}

func checkUndervoltage(p *rules.Pass) {
	eachSound(p, func(c *rules.Check, d drive) {
		s, ok := d.lowest(c, p)
		switch {
		case !ok:
			return
		case s == nil:
			c.Holds(true, "%s draws in no mode", d.ID)
			return
		case len(d.strings) == 0:
			d.checkUnfed(c, p, s)
			return
		}
		missing, known := p.Circuit.ResistanceKnown(d.edge.From)
		if !known {
			c.NotChecked(missing, "how far the supply of %s falls under load depends on the battery's resistance", d.ID)
			return
		}
		d.checkSag(c, p, s)
	})
}

// lowest solves the modes in which the controller draws, pack empty and cold, and
// returns the one that leaves it least voltage.
func (d drive) lowest(c *rules.Check, p *rules.Pass) (worst *circuit.Solution, ok bool) {
	for _, id := range p.Circuit.States() {
		m := p.Circuit.Mode(id)
		if draw := m.Draw[d.ID]; draw == nil || draw.PowerW.Or(0)+draw.CurrentA.Or(0) == 0 {
			continue
		}
		s := p.Circuit.Solve(demand.Weak(id).WithCopper(p.Spec.Policy.TerminalMaxC))
		if c.Unsettled(s, d.edge.ID) {
			return nil, false
		}
		if worst == nil || d.leftV(s) < d.leftV(worst) {
			worst = s
		}
	}
	return worst, true
}

// saggedV is the lowest voltage that a mode leaves the controller, the pack empty and
// cold, and which; "" where none draws or nothing can be said.
func (d drive) saggedV(p *rules.Pass) (lowest float64, mode string) {
	for _, id := range p.Circuit.States() {
		m := p.Circuit.Mode(id)
		if draw := m.Draw[d.ID]; draw == nil || draw.PowerW.Or(0)+draw.CurrentA.Or(0) == 0 {
			continue
		}
		s := p.Circuit.Solve(demand.Weak(id).WithCopper(p.Spec.Policy.TerminalMaxC))
		if !s.Settled(d.edge.ID) || d.leftV(s) < fedV {
			continue
		}
		if v, ok := d.drawnTo(p, s, m.Draw[d.ID]); ok && (mode == "" || v < lowest) {
			lowest, mode = v, id
		}
	}
	return lowest, mode
}

// drawnTo is the voltage that a draw leaves at the controller in a solved state, if
// no lowest voltage of its own lowers the current; false where the supply collapses.
func (d drive) drawnTo(p *rules.Pass, s *circuit.Solution, draw *schema.Draw) (v float64, ok bool) {
	rest, amperes := d.restV(p), math.Abs(s.Current(d.edge.ID))
	if amperes == 0 || d.terminalV(s) >= rest {
		return d.terminalV(s), true
	}
	ohm := (rest - d.terminalV(s)) / amperes
	if draw.CurrentA.Known {
		v = rest - ohm*draw.CurrentA.Value
		return v, v > 0
	}
	return calc.PowerLoad(rest, ohm, draw.PowerW.Value)
}

// leftV is the voltage that the controller drives on: none while nothing but a
// pre-charge resistor feeds it, whatever a meter shows there.
func (d drive) leftV(s *circuit.Solution) float64 {
	if slices.Contains(s.Waiting, d.ID) {
		return 0
	}
	return d.terminalV(s)
}

// fedV is the least voltage at its supply, in V, that counts as being fed at all.
const fedV = 1

// restV is the voltage of the emptiest string at rest.
func (d drive) restV(p *rules.Pass) float64 {
	least := math.Inf(1)
	for _, s := range d.strings {
		least = min(least, s.V(p.Spec, circuit.Lowest))
	}
	return least
}

// sagRemedy is the fix for a supply that falls below a voltage in V in a state.
func (d drive) sagRemedy(p *rules.Pass, s *circuit.Solution, need float64) string {
	lowest := ""
	if v, mode := d.saggedV(p); mode != "" {
		lowest = fmt.Sprintf("; or set the lowest voltage of %s to at most %s V, if the cells allow it", d.ID, rules.Figure(rules.RoundDown(v/max(1, p.Required()), 0.1)))
	}
	rest := d.restV(p)
	lost, amperes := rest-d.terminalV(s), math.Abs(s.Current(d.ID))
	if rest <= need || lost <= 0 || amperes == 0 {
		return "draw less in mode " + s.Case.Mode + " near the end of the charge, or raise the pack's cut-off" + lowest
	}
	return fmt.Sprintf("draw at most about %s A in mode %s near the end of the charge (now %s A), or bring the resistance of pack and cables from %s to %s mOhm%s",
		rules.Figure(rules.RoundDown(amperes*(rest-need)/lost, 1)), s.Case.Mode, rules.Figure(rules.RoundUp(amperes, 1)),
		rules.Figure(rules.RoundUp(1000*lost/amperes, 0.1)), rules.Figure(rules.RoundDown(1000*(rest-need)/amperes, 0.1)), lowest)
}

// heldOpen is a contactor between a controller and its batteries whose coil has an end
// that nothing is connected to; "" if there is none.
func (d drive) heldOpen(p *rules.Pass, s *circuit.Solution) string {
	for _, list := range d.strings {
		for _, e := range append(p.Circuit.Path(list.Pos(), p.Circuit.Edge(d.ID).From, circuit.Metal), p.Circuit.Path(p.Circuit.Edge(d.ID).To, list.Neg(), circuit.Metal)...) {
			wired := p.Circuit.Connected(e.Part+".coil_pos") && p.Circuit.Connected(e.Part+".coil_neg")
			if e.Kind == circuit.ContactEdge && !s.Closed(e.ID) && !wired {
				return e.Part
			}
		}
	}
	return ""
}

// checkUnfed gives the verdict on a controller that draws with no battery at both of its
// poles, whatever is closed.
func (d drive) checkUnfed(c *rules.Check, p *rules.Pass, s *circuit.Solution) {
	if d.leftV(s) >= fedV {
		d.noBattery(c) // a converter or charger feeds it
		return
	}
	if part := p.Circuit.BrokenOffAt(d.edge); part != "" {
		c.Because("terminal-unconnected", part)
	}
	c.In(s.Case.Mode, s.Case.String())
	c.Fix("connect %s to its battery at both poles, or remove its draw from the mode", d.ID)
	c.Fail("%s: draws in mode %s, but no battery is connected to it at both poles, whatever is closed", d.ID, s.Case.Mode)
}

func (d drive) checkSag(c *rules.Check, p *rules.Pass, s *circuit.Solution) {
	const how = "with the pack empty and cold"
	if d.restV(p) < d.MinV {
		c.Level(rules.Warning)
	}
	if d.leftV(s) < fedV {
		feeds := "nothing feeds it"
		if slices.Contains(s.Waiting, d.ID) {
			feeds = "nothing but its pre-charge feeds it"
		}
		if k := d.heldOpen(p, s); k != "" {
			c.Because("terminal-unconnected", k)
		}
		c.In(s.Case.Mode, s.Case.String())
		c.Fix("close what feeds %s in that mode (the switch or contact itself, or what feeds the coil that closes it), or remove its draw from the mode", d.ID)
		c.Level(rules.Error).Fail("%s: draws in mode %s, but %s %s; a switch or contact in its supply is open", d.ID, s.Case.Mode, feeds, how)
		return
	}
	switch {
	case d.terminalV(s) >= d.MinV:
	case d.restV(p) < d.MinV:
		// It is off before the pack is as empty as that; another rule says so.
		c.Because(controllerVoltageLowID, d.ID)
	case slices.Contains(s.Collapsed, d.ID):
		c.Because("supply-collapses", d.ID)
	}
	c.In(s.Case.Mode, s.Case.String())
	need := c.Given("V_uv", "lowest working voltage of "+d.ID, d.MinV, "V", d.Path()+".min_V")
	demand.ExplainResistance(p, c.Working, d.strings, s.Case)
	v := c.Solved("V", "voltage at "+d.ID+" in mode "+s.Case.Mode, d.terminalV(s), "V", s.Case.String())
	if v < need*p.Required() {
		c.Fix("%s", d.sagRemedy(p, s, need*p.Required()))
	}
	c.Solved("I", "its current there", s.Current(d.ID), "A", s.Case.String())
	c.AtLeast(rules.Volts(need), rules.Volts(v), "%s: supply falls to %s V in mode %s %s, works down to %s V", d.ID, rules.Figure(v), s.Case.Mode, how, rules.Figure(need))
}
