package rating

import (
	"fmt"
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/calc"
	"example.org/headroom/schema"
)

// Curve is a fuse's time-current band: its declared points, else the gate of
// its class. The error is a *Missing when neither is known.
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
		return nil, &Missing{Path: f.Path() + ".opening", What: err.Error()}
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
// the two points of its band that the time lies between, so that it can be
// interpolated by hand.
func Opens(w *rules.Working, f *schema.Fuse, c *calc.Curve, currentA float64) float64 {
	t := c.MaxTime(currentA)
	source := c.MaxSource()
	if source == "declared" {
		source = "the declared points of " + f.ID
	}
	if f.Opening != nil && len(f.Opening.Max) > 0 {
		w.GivenText("curve", "greatest opening times of "+f.ID, pointsText(f.Opening.Max), f.Path()+".opening.max")
	}
	if math.IsInf(t, 1) {
		w.Standard("t_open", fmt.Sprintf("greatest opening time of %s at %s A: it need not open", f.ID, rules.Figure(currentA)), t, "s", source)
		return t
	}
	return w.Standard("t_open", fmt.Sprintf("greatest opening time of %s at %s A, log-log between points", f.ID, rules.Figure(currentA)), t, "s", source)
}

func pointsText(points []schema.CurrentTime) string {
	var parts []string
	for _, p := range points {
		parts = append(parts, fmt.Sprintf("%s A in %s s", rules.Figure(p.CurrentA), rules.Figure(p.S)))
	}
	return strings.Join(parts, ", ")
}

// cut splits a terminal into its part and its name.
func cut(terminal string) (part, name string, ok bool) { return strings.Cut(terminal, ".") }
