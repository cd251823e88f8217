package measurement

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func meterSenseHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "meter-sense-high",
		Family: family,
		Title:  "the sense leads of a meter for millivolts are on more than a shunt gives",
		Why: "An ammeter on a shunt is a meter of millivolts. With one of its leads on the wrong stud the whole battery is across it: its movement and its leads burn, " +
			"from the positive pole to the negative one.",
		Relation: "in every mode and with everything on, the voltage between sense_a and sense_b of a meter that shows current <= 10 times its drop_mV",
		Source:   "circuit theory; ten times as the mark of a lead on the wrong stud, common practice: an overloaded shunt gives no more than twice its drop",
		Level:    rules.Error,
		Required: 1,
		Fix:      "move both leads to the sense screws of the shunt",
		Example: rules.Example{Vehicle: "heron", Subject: "ammeter", Edits: []rules.Edit{
			{Path: "wires.w_sense_b_tap.from", Value: `"plus.stud"`}}},
		Check: checkSenseHigh,
	}
}

// senseOverload is how many times its rated voltage a shunt that is overloaded does not give:
// above it a lead is on the wrong stud (common practice).
const senseOverload = 10

func checkSenseHigh(p *rules.Pass) {
	for id, m := range schema.Sorted(p.Spec.Meters) {
		if m.Spare || m.Shows == "voltage" || !m.DropMV.Known || !p.Circuit.Connected(id+".sense_a") || !p.Circuit.Connected(id+".sense_b") {
			continue
		}
		if c := p.Subject(id, m.Path()); !p.Unsound(c, id+".sense_a", id+".sense_b") {
			evalSenseHigh(c, p, m)
		}
	}
}

func evalSenseHigh(c *rules.Check, p *rules.Pass, m *schema.Meter) {
	sense := p.Circuit.Edge(m.ID + ".sense")
	var worst float64
	var at circuit.Case
	for _, mode := range p.Circuit.States() {
		for _, k := range demand.Corners(mode) {
			s := p.Circuit.Solve(k)
			if c.Unsettled(s, sense.ID) {
				return
			}
			if v := math.Abs(s.V(sense.From) - s.V(sense.To)); s.Together(sense.From, sense.To) && v > worst*(1+1e-9) {
				worst, at = v, k
			}
		}
	}
	c.In(at.Mode, at.String())
	mv := c.Solved("U", "voltage between the sense leads of "+m.ID, 1000*worst, "mV", "mode "+at.Mode+", "+at.String())
	rated := c.Given("U_m", "rated drop of "+m.ID, m.DropMV.Value, "mV", m.Path()+".drop_mV")
	times := c.Standard("n", "more than a shunt gives, times its drop", senseOverload, "", "common practice")
	limit := c.Calc("U_max", "what a shunt does not give", "n U_m", rules.Term(times)+" * "+rules.Term(rated), times*rated, "mV")
	c.AtMost(rules.Quantity{Value: mv, Unit: "mV"}, rules.Quantity{Value: limit, Unit: "mV"}, "%s: %s mV between its sense leads, made for %s mV",
		m.ID, rules.Figure(mv), rules.Figure(rated))
}
