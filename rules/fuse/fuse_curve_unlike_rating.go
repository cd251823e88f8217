package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

func curveUnlikeRating() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-curve-unlike-rating",
		Family: family,
		Title:  "the declared curve of a fuse is that of another rating",
		Why: "All that is computed of a fuse in a fault rests on its curve. Copied from the line of another rating, or left behind when the rating was changed, " +
			"it makes a slow fuse look fast, or a sound one look as if it opened in use.",
		Relation: "the currents of opening.min and opening.max >= I_n; of a full-range fuse, where a point of opening.max is of 600 s or more, its current <= 2.1 I_n",
		Source:   "gates of ISO 8820, UL 248 and IEC 60269: a fuse carries its rating, and opens at 1.35 to 2.1 times that at the latest",
		Level:    rules.Warning,
		Required: 0,
		Fix:      "give the points of the curve of the fuse's own rating, or correct rated_A",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.opening", Value: `{"min": [{"current_A": 90, "s": 300}, {"current_A": 300, "s": 0.5}], "max": [{"current_A": 100, "s": 1800}, {"current_A": 400, "s": 0.5}]}`}}},
		Check: checkCurveUnlikeRating,
	}
}

// latestOpening is the multiple of its rating that opens any full-range fuse of the known
// classes in the end, and longTime the time in s from which on a point of a curve
// shows it.
const (
	latestOpening = 2.1
	longTime      = 600
)

func checkCurveUnlikeRating(p *rules.Pass) {
	newSupply(p).fuses(func(f *schema.Fuse, c *rules.Check) bool {
		if f.Opening == nil {
			return true
		}
		n := c.Given("I_n", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
		for _, side := range []struct {
			name   string
			points []schema.CurrentTime
		}{{"min", f.Opening.Min}, {"max", f.Opening.Max}} {
			for _, x := range side.points {
				if x.CurrentA < n*(1-1e-9) {
					c.Related(f.Path()+".opening."+side.name, "the curve")
					c.Fail("%s is rated %s A, and by opening.%s it opens at %s A: the curve is of a smaller fuse", f.ID, rules.Figure(n), side.name, rules.Figure(x.CurrentA))
					return true
				}
			}
		}
		l, known := calc.FuseClass(f.Class).Loading()
		fullRange := known && !l.PartialRange && !f.MinBreakingA.Known
		for _, x := range f.Opening.Max {
			if fullRange && x.S >= longTime && x.CurrentA > latestOpening*n {
				c.Related(f.Path()+".opening.max", "the curve")
				c.Fail("%s is rated %s A, and by opening.max it takes %s to open at %s A: the curve is of a larger fuse", f.ID, rules.Figure(n), seconds(x.S), rules.Figure(x.CurrentA))
				return true
			}
		}
		c.Holds(true, "%s: its curve is one of %s A", f.ID, rules.Figure(n))
		return true
	})
}
