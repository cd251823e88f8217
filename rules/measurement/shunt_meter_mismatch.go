package measurement

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

const mismatchID = "shunt-meter-mismatch"

func shuntMeterMismatch() *rules.Rule {
	return &rules.Rule{
		ID:     mismatchID,
		Family: family,
		Title:  "a meter does not match its shunt",
		Why: "Shunts of one current are sold for 50, 60, 75 and 100 mV, and look alike. A meter for 75 mV on a shunt of 50 mV shows two thirds " +
			"of the current: the driver overloads pack and cables and believes the scale.",
		Relation: "the current that the meter shows, I_m (U_s / U_m) at the shunt's rating I_s, differs from I_s by at most 1 %",
		Source:   "circuit theory; IEC 60051 for the accuracy class of 1 % of a panel instrument (from memory)",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a meter whose amperes and millivolts are in the ratio of the shunt's, or set an adjustable one to the shunt",
		Example: rules.Example{Vehicle: "heron", Subject: "ammeter", Edits: []rules.Edit{
			{Path: "meters.ammeter.drop_mV", Value: "75"}}},
		Check: checkMismatch,
	}
}

// classPercent is the accuracy class of a panel instrument in percent of its
// full scale (IEC 60051, from memory).
const classPercent = 1

func checkMismatch(p *rules.Pass) {
	for _, m := range meters(p) {
		c := p.Subject(m.ID, m.Path())
		if s, ok := shuntOf(c, p, m); ok {
			checkPair(c, m, s)
		}
	}
}

func checkPair(c *rules.Check, m *schema.Meter, s shunt) {
	for path, n := range schema.Sorted(map[string]schema.Number{"drop_mV": m.DropMV, "full_scale_A": m.FullScaleA}) {
		if !n.Known {
			c.NotChecked(m.Path()+"."+path, "%s: whether it matches %s depends on its %s", m.ID, s.ID, path)
			return
		}
	}
	deviation, reading, err := mismatch(m, s)
	if err != nil {
		c.NotChecked(s.field("drop_mV"), "the reading of %s cannot be computed: %v", m.ID, err)
		return
	}
	rated := c.Given("I_s", "rating of "+s.ID, s.RatedA, "A", s.field("rated_A"))
	mv := c.Given("U_s", "drop of "+s.ID+" at that current", s.DropMV, "mV", s.field("drop_mV"))
	scale := c.Given("I_m", "full scale of "+m.ID, m.FullScaleA.Value, "A", m.Path()+".full_scale_A")
	at := c.Given("U_m", "rated drop of "+m.ID+" at full scale", m.DropMV.Value, "mV", m.Path()+".drop_mV")
	shown := c.Line("I", "what "+m.ID+" shows at I_s", reading)
	c.Calc("d", "deviation", "100 |I - I_s| / I_s", "100 * ("+rules.Term(max(shown, rated))+" - "+rules.Term(min(shown, rated))+") / "+rules.Term(rated), deviation, "%")
	limit := c.Standard("d_max", "accuracy class of a panel instrument", classPercent, "%", "IEC 60051 (from memory)")
	c.Related(s.Path(), "the shunt")
	c.Fix("use a meter of %s A at %s mV, as the shunt, or any other of %s A per mV, or set an adjustable one to the shunt",
		rules.Figure(rated), rules.Figure(mv), rules.Figure(rated/mv))
	c.AtMost(percent(deviation), percent(limit), "%s: shows %s A at %s A; shunt %s mV at %s A, meter %s mV at %s A",
		m.ID, rules.Figure(shown), rules.Figure(rated), rules.Figure(mv), rules.Figure(rated), rules.Figure(at), rules.Figure(scale))
}

// mismatch is what a meter shows at the rating of its shunt, and by how many
// percent that is wrong. Both the meter's values must be known.
func mismatch(m *schema.Meter, s shunt) (deviation float64, shown calc.Line, err error) {
	shown, err = calc.MeterReading(s.RatedA, s.DropMV, m.FullScaleA.Value, m.DropMV.Value, s.RatedA)
	deviation = 100 * math.Abs(shown.Value-s.RatedA) / s.RatedA
	if deviation < 1e-9 {
		deviation = 0 // the last digits of a double
	}
	return deviation, shown, err
}
