package converter

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/schema"
)

// place is the air at a converter in a mode, and what it leaves of the rating.
type place struct {
	air      capacity.Air
	derating calc.Line
	err      error
}

// placeOf finds the air at a converter, hottest unless the mode says which, and
// its derating there.
func placeOf(p *rules.Pass, v *schema.Converter, mode string) place {
	at := place{air: capacity.AirAt(p, &v.Base, p.Circuit.Mode(mode))}
	var points []calc.DeratingPoint
	for _, d := range v.Derating {
		points = append(points, calc.DeratingPoint{AtC: d.AtC, Percent: d.Percent})
	}
	at.derating, at.err = calc.Derating(points, at.air.C())
	return at
}

// beyond is the last temperature of a derating curve that ends, with something left
// of the rating, below the air at the converter; nothing is promised above that.
func (at place) beyond(v *schema.Converter) (lastC float64, ok bool) {
	if len(v.Derating) == 0 {
		return 0, false
	}
	last := v.Derating[len(v.Derating)-1]
	return last.AtC, last.Percent > 0 && at.air.C() > last.AtC*(1+1e-9)
}

// uncovered reports whether a load is within the rating only because the derating
// curve ends too early, and if so gives that verdict.
func (at place) uncovered(c *rules.Check, v *schema.Converter) bool {
	lastC, beyond := at.beyond(v)
	if beyond {
		c.NotChecked(v.Path()+".derating", "%s is in air of %s C, its derating curve ends at %s C", v.ID, rules.Figure(at.air.C()), rules.Figure(lastC))
	}
	return beyond
}

// show adds the derating to a working.
func (at place) show(c *rules.Check, v *schema.Converter) {
	at.air.Explain(c.Working)
	if len(v.Derating) == 0 {
		c.Default("k_T", "share of the rating left at that temperature", at.derating.Value, "%", "no derating curve is given: the whole rating")
		return
	}
	c.GivenText("curve", "derating of "+v.ID, deratingText(v.Derating), v.Path()+".derating")
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

// continuousA is the continuous output current in that air, in A.
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
