package capacity

import (
	"fmt"
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
		if f.Kind == "breakers" {
			return nil, &rules.Missing{Path: f.Path() + ".trip.must_trip_percent", What: "what it trips at, and the ambient of its calibration, which its standard leaves to the maker"}
		}
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

// ExplainOpening adds to the working by when a fuse has surely opened at a current, with
// the points of its band, so that it can be interpolated by hand.
func ExplainOpening(w *rules.Working, f *schema.Fuse, c *calc.Curve, currentA float64) float64 {
	if w.Empty() {
		return c.MaxTime(currentA)
	}
	all := c.MaxPoints()
	switch {
	case f.Kind == "breakers":
		w.StandardText("curve", "longest tripping times of "+f.ID+" in the coldest air", pointsText(all), "its standard, or its trip and instant, over the ambient")
	case f.Opening != nil && len(f.Opening.Max) > 0:
		w.GivenText("curve", "longest opening times of "+f.ID, pointsText(all), f.Path()+".opening.max")
	case len(all) > 0:
		w.StandardText("curve", "longest opening times of "+f.ID+", class "+f.Class, pointsText(all), c.MaxSource())
	}
	if c.TotalSpeaks(currentA) {
		w.Given("I2t_t", "total I2t of "+f.ID, f.TotalI2t.Value, "A2s", f.Path()+".total_I2t_A2s")
	}
	t, how := c.Opening(currentA)
	return w.Line("t_open", fmt.Sprintf("longest opening time of %s at %s A", f.ID, rules.Figure(currentA))+how, t)
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
