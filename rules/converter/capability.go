package converter

import (
	"errors"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/schema"
)

// place is the air at a converter in a mode, and what it leaves of the rating.
type place struct {
	air      capacity.Air
	derating calc.Line
	beyond   *calc.NotRatedError // the air is hotter than the converter's curve goes
	assumed  bool                // the air is the default of the format, not the spec's
	err      error
}

// mildC is the air in C around a vehicle that everybody uses it in (common practice).
const mildC = 25

// placeOf finds the air at a converter, hottest unless the mode says which, and
// its derating there.
func placeOf(p *rules.Pass, v *schema.Converter, mode string) place {
	m := p.Circuit.Mode(mode)
	at := place{air: capacity.AirAt(p, &v.Base, m)}
	at.assumed = !p.Spec.Given("vehicle.ambient_C.max") && (m == nil || !m.AmbientC.Known)
	var points []calc.DeratingPoint
	for _, d := range v.Derating {
		points = append(points, calc.DeratingPoint{AtC: d.AtC, Percent: d.Percent})
	}
	at.derating, at.err = calc.Derating(points, at.air.C())
	if errors.As(at.err, &at.beyond) {
		at.err = nil
		// In a place that is too hot on a mild day no default is to blame.
		at.assumed = at.assumed && mildC+at.air.RiseK <= at.beyond.LastC
	}
	return at
}

// unknown reports a check as not made where nothing is known of the rating in that
// air: without a curve in hot air, and beyond the end of one where it is only the
// default of the format that says how hot it gets. What is too much for the whole
// rating, or for what the curve leaves at its end, needs no more to be known.
func (at place) unknown(c *rules.Check, v *schema.Converter, needA, wholeA float64) bool {
	hot := len(v.Derating) == 0 && at.air.C() > calc.UncurvedC+1e-9
	last := 100.0
	if n := len(v.Derating); n > 0 {
		last = v.Derating[n-1].Percent
	}
	fits := needA <= wholeA*last/100
	switch {
	case at.err != nil:
		c.NotChecked(v.Path()+".derating", "the derating curve of %s cannot be read: %v", v.ID, at.err)
	case hot && fits:
		c.NotChecked(v.Path()+".derating", "%s is in air of %s C; what that leaves of its rating is not known without a derating curve",
			v.ID, rules.Figure(at.air.C()))
	case at.beyond != nil && at.assumed && fits:
		c.NotChecked("vehicle.ambient_C.max", "%s is not rated above %s C, and how hot the air around the vehicle gets is not stated",
			v.ID, rules.Figure(at.beyond.LastC))
	default:
		return false
	}
	return true
}

// show adds the derating to a working.
func (at place) show(c *rules.Check, v *schema.Converter) {
	at.air.Explain(c.Working)
	if len(v.Derating) == 0 {
		c.Default("k_T", "share of the rating left at that temperature", at.derating.Value, "%", "no derating curve is given: the whole rating up to "+rules.Term(calc.UncurvedC)+" C")
		return
	}
	c.GivenText("curve", "derating of "+v.ID, deratingText(v.Derating), v.Path()+".derating")
	if at.beyond != nil {
		c.Calc("k_T", "share of the rating left at that temperature", "0 above the last point of the curve", "", 0, "%")
		return
	}
	c.Line("k_T", "share of the rating left at that temperature", at.derating)
}

func deratingText(points []schema.Derating) string {
	text := ""
	for i, d := range points {
		if i > 0 {
			text += ", "
		}
		text += rules.Figure(d.Percent) + " % at " + rules.Figure(d.AtC) + " C"
	}
	return text
}

// continuousA is the continuous output current in that air, in A; 0 where the
// converter is not rated.
func (at place) continuousA(v *schema.Converter) float64 {
	return v.Output.ContinuousA * at.derating.Value / 100
}

// peakA is the short-time output current in that air, in A; the continuous one
// when no peak is given.
func (at place) peakA(v *schema.Converter) float64 {
	return v.Output.PeakA.Or(v.Output.ContinuousA) * at.derating.Value / 100
}

// showRated adds a rated current and what the air leaves of it.
func (at place) showRated(c *rules.Check, symbol, what string, rated float64, path string) float64 {
	c.Given(symbol, what, rated, "A", path)
	return c.Calc(symbol+"_T", what+" at that temperature", "k_T "+symbol, rules.Term(at.derating.Value)+"/100 * "+rules.Term(rated), rated*at.derating.Value/100, "A")
}

// rated says what a converter is rated for in that air, for a message.
func (at place) rated(limit float64, what string) string {
	if at.beyond != nil {
		return "not rated above " + rules.Figure(at.beyond.LastC) + " C, and the air is at " + rules.Figure(at.air.C()) + " C"
	}
	return "rated " + rules.Figure(limit) + " A " + what + " at " + rules.Figure(at.air.C()) + " C"
}
