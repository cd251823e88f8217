package conductor

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/rules/internal/thermal"
	"example.org/headroom/schema"
)

func conductorDropHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "conductor-drop-high",
		Family: family,
		Title:  "the voltage drop to a motor controller and back is too high",
		Why: "Every volt dropped is heat in cables and joints, at hundreds of amperes, and range and power that never reach the motor. " +
			"The controller cuts out with charge left in the pack.",
		Relation: "(V at the battery's terminals - V at the controller) / nominal voltage <= policy.drop_critical_percent in every continuous mode, " +
			"out and back, the battery empty and the copper at policy.terminal_max_C. In modes of limited duration the same is a note",
		Source:   "ABYC E-11 (3 % for what is critical), common practice for traction cables",
		Level:    rules.Warning,
		Varies:   "note where only a mode of limited duration drops too much",
		Required: 1,
		Policy:   []string{"policy.drop_critical_percent", "policy.terminal_max_C"},
		Fix:      "use a larger cable, or mount the parts closer together",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "wires.w_contactor_drive.size", Value: `"25 mm2"`}, {Path: "wires.w_contactor_drive.length_m", Value: "12"},
			{Path: "wires.w_drive_minus.size", Value: `"25 mm2"`}, {Path: "wires.w_drive_minus.length_m", Value: "12"}}},
		Check: checkDrop,
	}
}

// loss is what is lost between a string of batteries and a controller in a mode.
type loss struct {
	battery  circuit.SeriesString
	mode     *schema.Mode
	solution *circuit.Solution
	batteryV float64
	partV    float64
	percent  float64
}

func checkDrop(p *rules.Pass) {
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		e := p.Circuit.Edge(id)
		if k.Spare || e == nil || !p.Circuit.Connected(id+".pos") || !p.Circuit.Connected(id+".neg") {
			continue
		}
		c := p.Subject(id, k.Path())
		if !p.Unsound(c, id+".pos", id+".neg") && !demand.CycleUnknown(c, p.Spec) {
			evalDrop(c, p, e)
		}
	}
}

func evalDrop(c *rules.Check, p *rules.Pass, e *circuit.Edge) {
	fed := p.Circuit.StringsFeeding(e.ID)
	if len(fed) == 0 {
		c.NotChecked("a battery that feeds "+e.ID, "%s is not fed by a battery through closed contacts", e.ID)
		return
	}
	if missing, known := p.Circuit.ResistanceKnown(e.From); !known {
		c.NotChecked(missing, "the current of %s rises as the battery voltage sags; the battery's resistance is not given", e.ID)
		return
	}
	var lasting, brief loss
	found, unfed := false, false
	for _, id := range p.Circuit.States() {
		m := p.Circuit.Mode(id)
		if m.Draw[e.ID] == nil || m.Draw[e.ID].RegenA.Known {
			continue
		}
		x, settled := lossIn(c, p, e, fed, m)
		if !settled {
			return
		}
		if x.mode == nil {
			unfed = true
			continue
		}
		found = true
		if worst := &brief; demand.Continuous(p.Spec, m) {
			if lasting.mode == nil || x.percent > lasting.percent {
				lasting = x
			}
		} else if worst.mode == nil || x.percent > worst.percent {
			*worst = x
		}
	}
	if !found && unfed {
		c.NotChecked("a mode that feeds "+e.ID, "%s is not fed in the modes in which it draws current", e.ID)
		return
	}
	if !found {
		c.NotChecked("a mode in which "+e.ID+" draws", "no mode gives the current of %s", e.ID)
		return
	}
	limit := p.Spec.Policy.DropCriticalPercent
	worst := lasting
	if lasting.mode == nil || lasting.percent <= limit && brief.mode != nil && brief.percent > lasting.percent {
		worst = brief
		c.Level(rules.Note)
	}
	reportDrop(c, p, e, worst)
}

// lossIn solves one mode with the batteries empty and the copper hot, and takes
// the one from which most is lost. The loss has no mode where none feeds the
// controller.
func lossIn(c *rules.Check, p *rules.Pass, e *circuit.Edge, fed []circuit.SeriesString, m *schema.Mode) (loss, bool) {
	x := loss{solution: p.Circuit.Solve(demand.Empty(m.ID).WithCopper(p.Spec.Policy.TerminalMaxC))}
	if c.Unsettled(x.solution, e.ID) {
		return x, false
	}
	x.partV = x.solution.V(e.From) - x.solution.V(e.To)
	for _, s := range fed {
		if !p.Circuit.FedBy(x.solution, s, e) {
			continue // not from here, or over a pre-charge alone; that is another rule's
		}
		v := x.solution.V(s.Pos()) - x.solution.V(s.Neg())
		if percent := 100 * (v - x.partV) / s.V(p.Spec, circuit.Nominal); x.mode == nil || percent > x.percent {
			x.mode, x.battery, x.batteryV, x.percent = m, s, v, percent
		}
	}
	return x, true
}

func reportDrop(c *rules.Check, p *rules.Pass, e *circuit.Edge, x loss) {
	s := x.battery
	at := x.solution.Case.String()
	c.In(x.mode.ID, at)
	c.Solved("U_b", "voltage at the terminals of "+s.Name(), x.batteryV, "V", at)
	c.Solved("U", "voltage at "+e.ID, x.partV, "V", at)
	lost := c.Calc("dU", "the difference", "U_b - U", rules.Term(x.batteryV)+" - "+rules.Term(x.partV), x.batteryV-x.partV, "V")
	worst, worstV := explainLosses(c, p, e, s, x)
	nominal := s.V(p.Spec, circuit.Nominal)
	if len(s) == 1 {
		c.Given("U_n", "nominal voltage of "+s.Name(), nominal, "V", s[0].Path+".nominal_V")
	} else {
		c.Calc("U_n", "nominal voltage of "+s.Name(), "sum of nominal_V", "", nominal, "V")
	}
	d := c.Line("d", "drop, out and back", calc.DropPercent(lost, nominal))
	limit := c.Default("d_max", "permitted drop", p.Spec.Policy.DropCriticalPercent, "%", "policy.drop_critical_percent")
	if d > limit && worst != nil {
		advise(c, p, worst, worstV, math.Abs(x.solution.Current(worst.ID)), lost-limit/100*nominal)
	}
	c.AtMost(rules.Quantity{Value: d, Unit: "%"}, rules.Quantity{Value: limit, Unit: "%"},
		"%s: voltage drop from %s %s %% (%s V of %s V) at %s A in mode %s, limit %s %%",
		e.ID, s.Name(), rules.Figure(d), rules.Figure(max(0, lost)), rules.Figure(nominal), rules.Figure(math.Abs(x.solution.Current(e.ID))), x.mode.ID, rules.Figure(limit))
}

// explainLosses adds what each part of the path drops, and returns the conductor
// that drops most.
func explainLosses(c *rules.Check, p *rules.Pass, e *circuit.Edge, s circuit.SeriesString, x loss) (worst *circuit.Edge, worstV float64) {
	closed := func(y *circuit.Edge, _ circuit.Node) (float64, bool) {
		open := (y.Kind == circuit.SwitchEdge || y.Kind == circuit.ContactEdge) && !x.solution.Closed(y.ID)
		return 1, y.Conducts() && !open
	}
	for _, ends := range [][2]circuit.Node{{s.Pos(), e.From}, {e.To, s.Neg()}} {
		for _, y := range p.Circuit.Path(ends[0], ends[1], closed) {
			v := math.Abs(x.solution.V(y.From) - x.solution.V(y.To))
			if v > 0.02*(x.batteryV-x.partV) {
				c.Solved("dU_"+y.ID, "of which over "+y.ID, v, "V", "the same solution")
			}
			if y.IsConductor() && v > worstV*(1+1e-9) {
				worst, worstV = y, v
			}
		}
	}
	return worst, worstV
}

// advise says which conductor drops most, and which size is enough there.
func advise(c *rules.Check, p *rules.Pass, worst *circuit.Edge, worstV, currentA, excessV float64) {
	wire, ok := p.Spec.Wires[worst.ID]
	if !ok {
		c.Related("busbars."+worst.ID, "the conductor with the highest drop")
		return
	}
	c.Related(wire.Path(), "the conductor with the highest drop")
	if overloaded(p, worst.ID) {
		c.Because(overloadedID, worst.ID)
	}
	size, err := calc.ParseSize(wire.Size)
	if err != nil {
		return
	}
	if enough, ok := calc.ThinnestSize(size.System, func(s calc.Size) bool {
		ohm, err := calc.Resistance(s, wire.LengthM, p.Spec.Policy.TerminalMaxC)
		return err == nil && ohm*currentA <= worstV-excessV
	}); ok {
		c.Fix("use at least %s for %s, which drops %s V over %s m of %s", enough.Label, wire.ID, rules.Figure(worstV), rules.Figure(wire.LengthM), wire.Size)
		return
	}
	c.Fix("use larger cables along the whole path: %s drops most, %s V over %s m of %s, but a larger size there alone is not enough", wire.ID, rules.Figure(worstV), rules.Figure(wire.LengthM), wire.Size)
}

// overloaded reports whether a wire carries more continuously than it may.
func overloaded(p *rules.Pass, id string) bool { return thermal.Overloaded(p, id) }
