package battery

import (
	"fmt"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func houseEnergyHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "house-energy-high",
		Family: family,
		Title:  "lamps, heaters and electronics use a large part of the pack's energy",
		Why: "Range is estimated from what the motor draws. On a slow vehicle lamps, a heater or a radio that run all the time may use a fifth of " +
			"the pack, and the vehicle stops short of home.",
		Relation: "energy into converters and other consumers on the pack / energy out of the pack <= 20 %, over the declared cycle, " +
			"or in every continuous mode in which a controller draws",
		Source:   "energy balance; 20 % is common practice. What flashes or is on for seconds counts as on, which overstates it",
		Level:    rules.Note,
		Required: 1,
		Policy:   []string{"policy.required.house-energy-high"},
		Fix:      "deduct that share from the range, or use lamps and heaters of less power",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "loads.beacon.power_W", Value: "160"},
			{Path: "modes.cruise.draw.drive.power_W", Value: "400"}}},
		Check: checkHouseEnergy,
	}
}

// houseShare is the part of the pack's energy that other consumers than the
// drive may use (common practice).
const houseShare = 0.20

// ledger is the energy of one mode or cycle, in W for a mode and in J for a
// cycle.
type ledger struct {
	house, pack float64
	lines       []ledgerLine
}

type ledgerLine struct {
	mode          string
	state         circuit.Case
	houseW, packW float64
	s             float64 // 0 for a mode by itself
	path          string
}

func (l ledger) share() float64 { return l.house / l.pack }

func checkHouseEnergy(p *rules.Pass) {
	for _, x := range batteries(p) {
		// One result for the packs in parallel and in series: on the first battery.
		if x.Role != "traction" || x.Parallel[0][0].ID != x.ID || len(x.controllers(p)) == 0 {
			continue
		}
		c, ok := begin(p, x)
		switch {
		case !ok:
		case !x.Solved(c):
		case demand.CycleUnknown(c, p.Spec):
		default:
			x.checkShare(c, p)
		}
	}
}

func (x batteryState) checkShare(c *rules.Check, p *rules.Pass) {
	worst, ok, failed := x.cycleLedger(p)
	if !ok && failed == nil {
		worst, ok, failed = x.modeLedger(p)
	}
	if failed != nil && c.Unsettled(failed, x.ledgerEdges(p)...) {
		return
	}
	if !ok {
		c.Holds(true, "no continuous mode and no cycle draws energy from %s for a drive", x.ID)
		return
	}
	where := worst.explain(c)
	percent := func(v float64) rules.Quantity { return rules.Quantity{Value: 100 * v, Unit: "%"} }
	limit := c.Default("e_lim", "share allowed for other consumers", 100*houseShare, "%", "common practice")
	c.AtMost(percent(worst.share()), rules.Quantity{Value: limit, Unit: "%"}, "%s: consumers other than the drive use %s %% of its energy %s, limit %s %%",
		x.ID, rules.Figure(100*worst.share()), where, rules.Figure(limit))
}

// cycleLedger adds up the declared cycle. Failed is a solution that it cannot rest on.
func (x batteryState) cycleLedger(p *rules.Pass) (l ledger, ok bool, failed *circuit.Solution) {
	for i, step := range p.Spec.Cycle {
		line, failed := x.line(p, p.Spec.Modes[step.Mode])
		if failed != nil {
			return ledger{}, false, failed
		}
		line.s, line.path = step.ForS, demand.StepPath(i)
		l.lines = append(l.lines, line)
		l.house += line.houseW * step.ForS
		l.pack += line.packW * step.ForS
	}
	return l, l.pack > 0, nil
}

// modeLedger is of the continuous mode, with a controller that draws, in which the
// others use the largest part.
func (x batteryState) modeLedger(p *rules.Pass) (worst ledger, ok bool, failed *circuit.Solution) {
	for _, m := range schema.Sorted(p.Spec.Modes) {
		if !demand.Continuous(p.Spec, m) || !x.driving(p, m) {
			continue
		}
		line, failed := x.line(p, m)
		if failed != nil {
			return ledger{}, false, failed
		}
		l := ledger{line.houseW, line.packW, []ledgerLine{line}}
		if l.pack > 0 && (!ok || l.share() > worst.share()) {
			worst, ok = l, true
		}
	}
	return worst, ok, nil
}

func (x batteryState) driving(p *rules.Pass, m *schema.Mode) bool {
	for _, k := range x.controllers(p) {
		if d := m.Draw[k.ID]; d != nil && (d.PowerW.Or(0) > 0 || d.CurrentA.Or(0) > 0) {
			return true
		}
	}
	return false
}

// line is what flows out of the pack and into other consumers than controllers
// in one mode, at nominal voltage, or a solution that this cannot rest on.
func (x batteryState) line(p *rules.Pass, m *schema.Mode) (ledgerLine, *circuit.Solution) {
	state := circuit.Case{Mode: m.ID}
	s := p.Circuit.Solve(state)
	if !s.Settled(x.ledgerEdges(p)...) {
		return ledgerLine{}, s
	}
	l := ledgerLine{mode: m.ID, state: state}
	for _, one := range x.Parallel {
		v := s.V(one.Pos()) - s.V(one.Neg())
		l.packW -= v * s.Current(one[0].ID)
	}
	pos, neg := p.Circuit.Reach(s.ClosedMetal, x.Own.Pos()), p.Circuit.Reach(s.ClosedMetal, x.Own.Neg())
	for _, e := range p.Circuit.Edges {
		if consumes(e) && pos[e.From] && neg[e.To] {
			l.houseW += (s.V(e.From) - s.V(e.To)) * s.Current(e.ID)
		}
	}
	return l, nil
}

// consumes reports whether an edge takes energy for something else than the drive.
func consumes(e *circuit.Edge) bool {
	switch e.Kind {
	case circuit.ConverterInput, circuit.LoadEdge, circuit.CoilEdge, circuit.MeterEdge, circuit.EnableEdge:
		return true
	}
	return false
}

// ledgerEdges lists the edges whose currents a ledger adds up: the packs in parallel,
// and the consumers of their network.
func (x batteryState) ledgerEdges(p *rules.Pass) (ids []string) {
	for _, one := range x.Parallel {
		ids = append(ids, one[0].ID)
	}
	for _, e := range p.Circuit.Edges {
		if consumes(e) && p.Circuit.SameNetwork(e.From, x.Own.Pos()) {
			ids = append(ids, e.ID)
		}
	}
	return ids
}

// explain adds the ledger to the working and says what it is about.
func (l ledger) explain(c *rules.Check) string {
	if len(l.lines) == 1 && l.lines[0].s == 0 {
		k := l.lines[0]
		c.In(k.mode, k.state.String())
		house := c.Solved("P_h", "power into other consumers than the drive", k.houseW, "W", k.state.String())
		pack := c.Solved("P_b", "power out of the pack", k.packW, "W", k.state.String())
		c.Calc("e", "their share", "P_h / P_b", "100 * "+rules.Term(house)+" / "+rules.Term(pack), 100*l.share(), "%")
		return "in mode " + k.mode
	}
	var house, pack []string
	for i, k := range l.lines {
		n := fmt.Sprint(i + 1)
		c.Solved("P_h"+n, "power into other consumers in mode "+k.mode, k.houseW, "W", k.state.String())
		c.Solved("P_b"+n, "power out of the pack in mode "+k.mode, k.packW, "W", k.state.String())
		c.Given("t_"+n, "duration of that step", k.s, "s", k.path)
		house = append(house, rules.Term(k.houseW)+" * "+rules.Term(k.s))
		pack = append(pack, rules.Term(k.packW)+" * "+rules.Term(k.s))
	}
	c.Calc("e", "their share over the cycle", "sum(P_h t) / sum(P_b t)",
		"100 * ("+strings.Join(house, " + ")+") / ("+strings.Join(pack, " + ")+")", 100*l.share(), "%")
	return "over the cycle"
}
