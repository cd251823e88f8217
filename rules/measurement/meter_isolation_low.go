package measurement

import (
	"errors"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func meterIsolationLow() *rules.Rule {
	return &rules.Rule{
		ID:     "meter-isolation-low",
		Family: family,
		Title:  "the voltage between a meter's sense leads and its supply exceeds its isolation",
		Why: "A meter fed from the 12 V network that reads a shunt in the pack's circuit has the pack's voltage between its supply and its input. " +
			"Without isolation for that it burns out, or it connects the two networks through the dashboard.",
		Relation: "the greatest voltage U between a sense lead and a supply terminal: in one network the solved one over all modes, " +
			"between separate networks the sum of their highest working voltages. U <= isolation_working_V; where only the test voltage isolation_V is given, " +
			"2 U + 1000 V <= isolation_V between separate networks of which one is above 60 V, else U <= isolation_V. A meter whose own negative is at the shunt needs no isolation",
		Source:   "circuit theory; ISO 6469-3 and IEC 60664-1 (working and test voltage of basic insulation; the form of the test voltage from memory)",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"meters.isolation_V"},
		Fix:      "use a meter with an isolated supply, feed it from the network of its shunt, or move the shunt to the negative pole",
		Example: rules.Example{Vehicle: "heron", Subject: "ammeter", Edits: []rules.Edit{
			{Path: "meters.ammeter.isolation_V", Value: "30"},
			{Path: "wires.w_meter_pos", Value: `{"from": "key.house_b", "to": "ammeter.pos", "size": "1.5 mm2", "length_m": 0.3}`},
			{Path: "wires.w_meter_neg", Value: `{"from": "ammeter.neg", "to": "returns_a.stud", "size": "1.5 mm2", "length_m": 0.3}`}}},
		Check: checkIsolation,
	}
}

func checkIsolation(p *rules.Pass) {
	for id, m := range schema.Sorted(p.Spec.Meters) {
		wired := true
		for _, t := range []string{".pos", ".neg", ".sense_a", ".sense_b"} {
			wired = wired && p.Circuit.Connected(id+t)
		}
		if m.Spare || !wired {
			continue // without a supply there is nothing to isolate from
		}
		c := p.Subject(id, m.Path())
		if p.Unsound(c, id+".neg", id+".sense_a") {
			continue
		}
		supply, sense := p.Circuit.Edge(id+".supply"), p.Circuit.Edge(id+".sense")
		if p.Circuit.SameNetwork(supply.To, sense.From) {
			checkCommonMode(c, p, m, supply, sense)
		} else {
			checkSeparate(c, p, m, supply, sense)
		}
	}
}

// commonModeV is the voltage in V between its negative and a sense lead that any
// meter withstands: that of a shunt and a length of cable (common practice).
const commonModeV = 0.5

// checkCommonMode checks a meter whose supply and shunt are in one network.
func checkCommonMode(c *rules.Check, p *rules.Pass, m *schema.Meter, supply, sense *circuit.Edge) {
	var worst, toNeg float64
	var at circuit.Case
	for _, mode := range p.Circuit.States() {
		for _, k := range demand.Corners(mode) {
			s := p.Circuit.Solve(k)
			if c.Unsettled(s, supply.ID, sense.ID) {
				return
			}
			for _, lead := range []circuit.Node{sense.From, sense.To} {
				for _, terminal := range []circuit.Node{supply.From, supply.To} {
					if !s.Together(lead, terminal) {
						continue
					}
					v := math.Abs(s.V(lead) - s.V(terminal))
					if terminal == supply.To {
						toNeg = max(toNeg, v)
					}
					if v > worst*(1+1e-9) {
						worst, at = v, k
					}
				}
			}
		}
	}
	switch {
	case toNeg <= commonModeV:
		c.Holds(true, "the negative of %s is at its shunt: it needs no isolation", m.ID)
	case !m.IsolationV.Known && !m.IsolationWorkingV.Known:
		c.NotChecked(m.Path()+".isolation_V", "%s: up to %s V between its sense leads and its supply; its isolation is not stated", m.ID, rules.Figure(worst))
	default:
		c.In(at.Mode, at.String())
		c.Solved("V", "greatest voltage between a sense lead and the supply of "+m.ID, worst, "V", "mode "+at.Mode+", "+at.String())
		reportWithstand(c, m, worst, false)
	}
}

// checkSeparate checks a meter that is between two networks.
func checkSeparate(c *rules.Check, p *rules.Pass, m *schema.Meter, supply, sense *circuit.Edge) {
	var sum, most float64
	var terms []string
	var unknown error
	for _, v := range []circuit.Node{supply.To, sense.From} {
		var sources []circuit.Source
		for _, s := range p.Circuit.Sources() {
			if p.Circuit.SameNetwork(s.Pos, v) {
				sources = append(sources, s)
			}
		}
		highest, err := demand.HighestVoltage(p, c.Working, sources)
		unknown = errors.Join(unknown, err)
		sum, most = sum+highest, max(most, highest)
		terms = append(terms, rules.Term(highest))
	}
	switch {
	case demand.VoltageUnknown(c, unknown, !exceeds(m, sum, most > calc.ClassALimitV), "between the sense leads and the supply of "+m.ID):
	case !m.IsolationV.Known && !m.IsolationWorkingV.Known:
		c.NotChecked(m.Path()+".isolation_V", "%s: up to %s V between its sense leads and its supply, which are in two networks; its isolation is not stated", m.ID, rules.Figure(sum))
	default:
		c.Calc("V", "voltage between the networks of its supply and of its shunt", "sum of both", terms[0]+" + "+terms[1], sum, "V")
		reportWithstand(c, m, sum, most > calc.ClassALimitV)
	}
}

// exceeds reports whether a voltage is above what a meter is known to be made for.
func exceeds(m *schema.Meter, v float64, classB bool) bool {
	if m.IsolationWorkingV.Known {
		return v > m.IsolationWorkingV.Value
	}
	if test, err := calc.BasicTestVoltage(v); classB && err == nil {
		v = test.Value
	}
	return m.IsolationV.Known && v > m.IsolationV.Value
}

// reportWithstand holds a voltage that stands at a meter for good against its rating;
// a test voltage is for a minute, and classB says that insulation keeps two networks
// apart that must stay so.
func reportWithstand(c *rules.Check, m *schema.Meter, v float64, classB bool) {
	if m.IsolationWorkingV.Known {
		limit := c.Given("V_i", "voltage for which the insulation of "+m.ID+" is rated", m.IsolationWorkingV.Value, "V", m.Path()+".isolation_working_V")
		c.Fix("use a meter with an isolation_working_V of at least %s, or feed it from the network of its shunt", rules.Figure(rules.RoundUp(v, 1)))
		c.AtMost(rules.Volts(v), rules.Volts(limit), "%s: up to %s V between its sense leads and its supply, rated %s V", m.ID, rules.Figure(v), rules.Figure(limit))
		return
	}
	limit := c.Given("V_t", "test voltage between the sense leads and the supply of "+m.ID, m.IsolationV.Value, "V", m.Path()+".isolation_V")
	test, err := calc.BasicTestVoltage(v)
	if !classB || err != nil {
		c.Fix("use a meter with an isolation of at least %s V, or feed it from the network of its shunt", rules.Figure(rules.RoundUp(v, 1)))
		c.AtMost(rules.Volts(v), rules.Volts(limit), "%s: up to %s V between its sense leads and its supply, withstands %s V", m.ID, rules.Figure(v), rules.Figure(limit))
		return
	}
	need := c.Line("V_need", "test voltage of basic insulation between networks, ISO 6469-3, from memory", test)
	c.Fix("use a meter with an isolation of at least %s V (a test voltage), or feed it from the network of its shunt", rules.Figure(rules.RoundUp(need, 10)))
	c.AtMost(rules.Volts(need), rules.Volts(limit), "%s: up to %s V between its sense leads and its supply need a test voltage of %s V, tested with %s V",
		m.ID, rules.Figure(v), rules.Figure(need), rules.Figure(limit))
}
