package measurement

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func meterUnreadable() *rules.Rule {
	return &rules.Rule{
		ID:     "meter-unreadable",
		Family: family,
		Title:  "the usual current hardly moves the needle",
		Why: "A meter chosen for the worst peak shows cruising in the first divisions of its scale, within its own error: " +
			"nobody notices that a brake drags or a bearing fails.",
		Relation: "the greatest current of any mode without lasts_s >= policy.meter_readable_percent of the current at full scale",
		Source:   "common practice; the error of a panel instrument is one of its full scale (IEC 60051, from memory)",
		Level:    rules.Note,
		Required: 1,
		Policy:   []string{"policy.meter_readable_percent"},
		Fix:      "use a meter and shunt of a smaller range that still covers the peak",
		Example: rules.Example{Vehicle: "heron", Subject: "ammeter", Edits: []rules.Edit{
			{Path: "shunts.shunt.rated_A", Value: "1000"}, {Path: "meters.ammeter.full_scale_A", Value: "1000"}}},
		Check: checkReadable,
	}
}

func checkReadable(p *rules.Pass) {
	for _, m := range meters(p) {
		c := p.Subject(m.ID, m.Path())
		s, ok := shuntOf(c, p, m)
		if ok && !s.set().Unsound(p, c) {
			checkUsual(c, p, m, s)
		}
	}
}

// nothingA is a current in A that is but the rounding of none, or what an
// instrument's own input draws.
const nothingA = 1e-3

func checkUsual(c *rules.Check, p *rules.Pass, m *schema.Meter, s shunt) {
	all, ok := s.currents(c, p)
	if !ok {
		return
	}
	var usual []demand.Use
	for _, u := range all {
		if !u.Mode.LastsS.Known && !circuit.Implied(u.Mode) && u.A > nothingA {
			usual = append(usual, u)
		}
	}
	if len(usual) == 0 {
		c.NotChecked("a mode without lasts_s", "no mode says what usually flows through %s", s.ID)
		return
	}
	worst := demand.Greatest(usual)
	c.In(worst.Mode.ID, worst.At.String())
	i := c.Solved("I", "usual current of "+s.ID, worst.A, "A", "mode "+worst.Mode.ID+", "+worst.At.String())
	full, ok := fullScaleA(c, m, s)
	if !ok {
		return
	}
	share := c.Default("f", "share of the scale that can be read", p.Spec.Policy.MeterReadablePercent, "%", "policy.meter_readable_percent")
	need := c.Calc("I_r", "current that can be read", "f I_f", rules.Term(share)+"/100 * "+rules.Term(full), share/100*full, "A")
	if i < need*p.Required() {
		peak := max(math.Abs(demand.Greatest(all).A), i)
		if most := 100 * i / (share * p.Required()); most >= peak {
			c.Fix("use a meter and a shunt for %s to %s A, with the same millivolts", rules.Figure(rules.RoundUp(peak, 1)), rules.Figure(rules.RoundDown(most, 1)))
		} else {
			c.Fix("use a digital meter: no scale shows %s A from %s A on and reaches the %s A of the peak", rules.Figure(i), rules.Figure(rules.RoundDown(most, 1)), rules.Figure(rules.RoundUp(peak, 1)))
		}
	}
	c.AtLeast(rules.Amperes(need), rules.Amperes(i), "%s: %s A in mode %s on a scale of %s A, readable from %s A",
		m.ID, rules.Figure(i), worst.Mode.ID, rules.Figure(full), rules.Figure(need))
}
