package battery

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func batteryParallelInrush() *rules.Rule {
	return &rules.Rule{
		ID:     "battery-parallel-inrush",
		Family: family,
		Title:  "batteries joined at different charge drive more current through each other than they withstand",
		Why: "Packs of a few milliohms are joined by hand or by a switch. A full one discharges into an empty one with nothing in between but " +
			"cables: hundreds of amperes for minutes, above every charging limit, and an arc at the terminal as well.",
		Relation: "dV / (R_1,min + R_2,min + cables and fuses between) <= charge_max_A of the emptier one and rated_A of the fuses between; dV is " +
			"connect_within_V, or max_V of one less min_V of the other where no procedure limits it",
		Source:   "circuit theory; common practice (contacts between count as zero resistance, which errs on the safe side)",
		Level:    rules.Error,
		Varies:   "warning where it is above the fuses between alone, which open, and not above what the batteries take (charge_max_A) and give (peak_A)",
		Required: 1,
		Policy:   []string{"policy.required.battery-parallel-inrush", "policy.battery_resistance_min_factor"},
		Vital:    []string{"batteries.resistance_mOhm", "batteries.short_circuit_A", "batteries.charge_max_A"},
		Fix:      "bring the packs to the same voltage before joining them, and set connect_within_V to the greatest difference allowed",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.second", Value: `{"role": "traction", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": 28, "charge_max_A": 40}`},
			{Path: "fuses.second_fuse", Value: `{"class": "bolt-down", "rated_A": 125, "rated_V_dc": 125, "breaking_A_dc": 10000}`},
			{Path: "wires.w_second_pos", Value: `{"from": "second.pos", "to": "second_fuse.a", "size": "50 mm2", "length_m": 0.15}`},
			{Path: "wires.w_second_fuse", Value: `{"from": "second_fuse.b", "to": "main.b", "size": "50 mm2", "length_m": 0.3}`},
			{Path: "wires.w_second_neg", Value: `{"from": "second.neg", "to": "pack.neg", "size": "50 mm2", "length_m": 0.3}`}}},
		Check: checkParallel,
	}
}

func checkParallel(p *rules.Pass) {
	seen := map[string]bool{}
	for _, x := range batteries(p) {
		// One result for each group, on its first battery.
		if seen[x.Parallel[0][0].ID] || len(x.Parallel) < 2 {
			continue
		}
		seen[x.Parallel[0][0].ID] = true
		if c, ok := begin(p, x); ok {
			checkJoining(c, p, x.Parallel)
		}
	}
}

// meeting is two strings that are joined while one is fuller than the other.
type meeting struct {
	high, low circuit.SeriesString
	deltaV    float64
	within    string // path of the declared difference, "" where there is none
	highOhm   float64
	lowOhm    float64
	between   []*circuit.Edge
	leadsOhm  float64
	a         float64
	limitA    float64
	limit     string // path
	missing   string
}

// batteriesBear reports whether the current is within what both strings state for
// themselves.
func (m meeting) batteriesBear(p *rules.Pass) bool {
	for _, b := range m.low {
		if most := p.Spec.Batteries[b.ID].ChargeMaxA; most.Known && m.a > most.Value {
			return false
		}
	}
	for _, b := range m.high {
		if most := p.Spec.Batteries[b.ID].PeakA; most.Known && m.a > most.Value {
			return false
		}
	}
	return true
}

func (m meeting) used() float64 { return m.a / m.limitA }

func checkJoining(c *rules.Check, p *rules.Pass, group []circuit.SeriesString) {
	var worst meeting
	for _, high := range group {
		for _, low := range group {
			if high[0].ID == low[0].ID {
				continue
			}
			m := meet(p, high, low)
			if m.missing != "" {
				c.NotChecked(m.missing, "%s and %s are in parallel; the current when they are joined at different voltages, or its limit, is not known without it",
					high.Name(), low.Name())
				return
			}
			if worst.high == nil || m.used() > worst.used() {
				worst = m
			}
		}
	}
	worst.explain(c, p)
	safe := worst.limitA * (worst.highOhm + worst.lowOhm + worst.leadsOhm)
	c.Fix("join them only when their voltages differ by at most %[1]s V, and set connect_within_V to %[1]s", rules.Figure(rules.RoundDown(safe, 0.01)))
	c.Related(worst.low[0].Path, "joined to it")
	if worst.batteriesBear(p) {
		c.Level(rules.Warning)
	}
	c.AtMost(rules.Amperes(worst.a), rules.Amperes(worst.limitA), "%s drives %s A into %s when they are joined %s V apart, limit %s A (%s)",
		worst.high.Name(), rules.Figure(worst.a), worst.low.Name(), rules.Figure(worst.deltaV), rules.Figure(worst.limitA), worst.limit)
}

// meet computes what a string drives into another.
func meet(p *rules.Pass, high, low circuit.SeriesString) meeting {
	m := meeting{high: high, low: low, deltaV: high.V(p.Spec, circuit.Highest) - low.V(p.Spec, circuit.Lowest)}
	for _, s := range []circuit.SeriesString{high, low} {
		for _, b := range s {
			if within := p.Spec.Batteries[b.ID].ConnectWithinV; within.Known && within.Value < m.deltaV {
				m.deltaV, m.within = within.Value, b.Path+".connect_within_V"
			}
		}
	}
	m.deltaV = max(0, m.deltaV)
	n := p.Circuit
	if m.highOhm, m.missing = high.Ohm(n, circuit.Least); m.missing != "" {
		return m
	}
	if m.lowOhm, m.missing = low.Ohm(n, circuit.Least); m.missing != "" {
		return m
	}
	m.limitA, m.limit, m.missing = capacity.LeastOf(low, p.Spec, "charge_max_A", func(b *schema.Battery) schema.Number { return b.ChargeMaxA })
	m.between = append(n.Path(high.Pos(), low.Pos(), circuit.Metal), n.Path(low.Neg(), high.Neg(), circuit.Metal)...)
	for _, e := range m.between {
		switch {
		case e.IsConductor():
			m.leadsOhm += n.ConductorResistance(e.ID, p.Spec.Vehicle.AmbientC.Min)
		case e.Protects():
			f := n.Device(e.Part)
			m.leadsOhm += n.FuseResistance(f)
			if m.missing == "" && f.RatedA < m.limitA {
				m.limitA, m.limit = f.RatedA, f.Path()+".rated_A"
			}
		}
	}
	m.a = m.deltaV / (m.highOhm + m.lowOhm + m.leadsOhm)
	return m
}

func (m meeting) explain(c *rules.Check, p *rules.Pass) {
	if m.within != "" {
		c.Given("dV", "difference at which they may be joined", m.deltaV, "V", m.within)
	} else {
		c.Calc("dV", "greatest difference: "+m.high.Name()+" full, "+m.low.Name()+" empty", "V_1,max - V_2,min",
			rules.Term(m.high.V(p.Spec, circuit.Highest))+" - "+rules.Term(m.low.V(p.Spec, circuit.Lowest)), m.deltaV, "V")
	}
	var terms []string
	for _, s := range []circuit.SeriesString{m.high, m.low} {
		for _, b := range s {
			ohm, err := demand.BatteryResistance(p, c.Working, b.ID, circuit.Least)
			if err == nil { // they are known: meet saw to it
				terms = append(terms, rules.Term(1000*ohm))
			}
		}
	}
	leads := c.Solved("R_l", "conductors and fuses between them", 1000*m.leadsOhm, "mOhm", "cold copper; contacts at zero resistance")
	sum := m.highOhm + m.lowOhm + m.leadsOhm
	loop := c.Calc("R", "resistance of the loop", "R_1 + R_2 + R_l", strings.Join(terms, " + ")+" + "+rules.Term(leads), 1000*sum, "mOhm")
	c.Calc("I", "current when they are joined", "dV / R", rules.Term(m.deltaV)+" / ("+rules.Term(loop)+" / 1000)", m.a, "A")
	c.Given("I_lim", "lowest limit of battery and fuses", m.limitA, "A", m.limit)
}
