package capacity

import (
	"fmt"
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// Curve is a fuse's time-current band: its declared points, else the gate of
// its class. The error is a *rules.Missing when neither is known.
func Curve(f *schema.Fuse) (*calc.Curve, error) {
	spec := calc.CurveSpec{
		Class: calc.FuseClass(f.Class), RatedA: f.RatedA,
		MeltingI2t: f.MeltingI2t.Or(0), TotalI2t: f.TotalI2t.Or(0),
	}
	if f.Opening != nil {
		spec.Min, spec.Max = points(f.Opening.Min), points(f.Opening.Max)
	}
	c, err := calc.NewCurve(spec)
	if err != nil {
		return nil, &rules.Missing{Path: f.Path() + ".opening", What: err.Error()}
	}
	return c, nil
}

func points(declared []schema.CurrentTime) []calc.Point {
	var out []calc.Point
	for _, p := range declared {
		out = append(out, calc.Point{CurrentA: p.CurrentA, S: p.S})
	}
	return out
}

// Opens adds to the working by when a fuse has surely opened at a current, with
// the points of its band, so that it can be interpolated by hand.
func Opens(w *rules.Working, f *schema.Fuse, c *calc.Curve, currentA float64) float64 {
	t := c.MaxTime(currentA)
	all := c.MaxPoints()
	switch {
	case f.Opening != nil && len(f.Opening.Max) > 0:
		w.GivenText("curve", "longest opening times of "+f.ID, pointsText(all), f.Path()+".opening.max")
	case len(all) > 0:
		w.StandardText("curve", "longest opening times of "+f.ID+", class "+f.Class, pointsText(all), c.MaxSource())
	}
	if c.TotalSpeaks(currentA) {
		w.Given("I2t_t", "total I2t of "+f.ID, f.TotalI2t.Value, "A2s", f.Path()+".total_I2t_A2s")
	}
	what := fmt.Sprintf("longest opening time of %s at %s A", f.ID, rules.Figure(currentA))
	i := rules.Term(currentA)
	if math.IsInf(t, 1) {
		return w.Calc("t_open", what, "it may stay closed below its first point", "", t, "s")
	}
	if a, b, ok := c.MaxSpan(currentA); ok && currentA < all[len(all)-1].CurrentA {
		return w.Calc("t_open", what+", straight on log-log paper", "t_1 (t_2 / t_1)^(ln(I / I_1) / ln(I_2 / I_1))",
			fmt.Sprintf("%s * (%s / %s)^(ln(%s / %s) / ln(%s / %[5]s))", rules.Term(a.S), rules.Term(b.S), rules.Term(a.S), i, rules.Term(a.CurrentA), rules.Term(b.CurrentA)), t, "s")
	}
	if c.TotalSpeaks(currentA) {
		formula, numbers := "I2t_t / I^2", rules.Term(f.TotalI2t.Value)+" / "+i+"^2"
		if len(all) > 0 {
			last := all[len(all)-1]
			formula, numbers = "min(t_last, "+formula+")", "min("+rules.Term(last.S)+", "+numbers+")"
		}
		return w.Calc("t_open", what+", by its total I2t", formula, numbers, t, "s")
	}
	last := all[len(all)-1]
	return w.Calc("t_open", what+", beyond the last point at its I2t, arcing to 1 ms at least", "min(t_last, max(0.001 s, I_last^2 t_last / I^2))",
		fmt.Sprintf("min(%s, max(0.001, %s^2 * %s / %s^2))", rules.Term(last.S), rules.Term(last.CurrentA), rules.Term(last.S), i), t, "s")
}

func pointsText(points []calc.Point) string {
	var parts []string
	for _, p := range points {
		parts = append(parts, fmt.Sprintf("%s A in %s s", rules.Term(p.CurrentA), rules.Term(p.S)))
	}
	return strings.Join(parts, ", ")
}

// cut splits a terminal into its part and its name.
func cut(terminal string) (part, name string, ok bool) { return strings.Cut(terminal, ".") }
