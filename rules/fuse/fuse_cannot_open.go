package fuse

import (
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// opensSurely is by how much the only source of a fuse should exceed the current
// that is sure to open it (common practice).
const opensSurely = 1.3

func cannotOpen() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-cannot-open",
		Family: family,
		Title:  "the only source of a circuit cannot open the fuse in it",
		Why: "A converter gives its limit and no more, whatever hangs on it. Behind a fuse that needs more than that, a short circuit " +
			"takes the whole house network down instead of one branch, and the wire glows on without the fuse ever opening.",
		Relation: "where no battery feeds a fuse: the sum of the current limits of the converters and chargers behind it >= 1.3 times the current that surely opens it, " +
			"and they hold that current in a short circuit",
		Source:   "gates of ISO 8820-3 and -5, UL 248, IEC 60269-1; the factor is common practice",
		Level:    rules.Warning,
		Required: opensSurely,
		Policy:   []string{"policy.converter_limit_factor"},
		Fix:      "use a smaller fuse, or add an auxiliary battery",
		Example: rules.Example{Vehicle: "mole", Subject: "work_fuse", Edits: []rules.Edit{
			{Path: "fuses.work_fuse.rated_A", Value: "20"}}},
		Check: checkCannotOpen,
	}
}

func checkCannotOpen(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		if feeds := s.feeds(f.ID); len(feeds) > 0 && onlyLimited(feeds) {
			judgeCannotOpen(s, c, f, feeds)
		}
		return true
	})
}

func judgeCannotOpen(s *supply, c *rules.Check, f *schema.Fuse, feeds []feed) {
	curve, err := s.curve(f.ID)
	if err != nil {
		unknown(c, err)
		return
	}
	opens, ok := curve.MustOpenA()
	if !ok {
		c.NotChecked(f.Path()+".opening.max", "needs the current from which %s is sure to open", f.ID)
		return
	}
	var sum float64
	var names, terms []string
	for _, x := range sources(feeds) {
		if conv := s.Spec.Converters[x.ID]; conv != nil && (conv.Output.AtLimit == "hiccup" || conv.Output.AtLimit == "foldback") {
			c.GivenText("at_limit", "what "+x.ID+" does in a short circuit", conv.Output.AtLimit, conv.Path()+".output.at_limit")
			c.Related(conv.Path()+".output.at_limit", "it does not hold its limit")
			c.Fail("%s alone feeds %s, and in a short circuit it does not hold its current (%s): the fuse stays whole and the whole network goes down",
				x.ID, f.ID, conv.Output.AtLimit)
			return
		}
		sum += c.Given("I_"+x.ID, "most that "+x.ID+" gives", x.LimitA, "A", x.LimitFrom)
		names, terms = append(names, x.ID), append(terms, rules.Figure(x.LimitA))
	}
	if len(names) > 1 {
		c.Calc("I_sum", "together", "sum", strings.Join(terms, " + "), sum, "A")
	}
	c.Given("I_n", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
	c.Standard("I_2", "current that surely opens "+f.ID, opens, "A", sourceOf(curve.MaxSource(), f.ID))
	if down, ok := calc.NextRatingDown(calc.FuseClass(f.Class), sum/opensSurely*f.RatedA/opens); ok {
		c.Fix("use %s A or less, or add an auxiliary battery", rules.Figure(down))
		if load := s.lasting(f); load > down {
			c.Fix("%s A would be opened, but its load is %s A: divide the load over several fuses, take a converter with a higher limit, or add an auxiliary battery",
				rules.Figure(down), rules.Figure(load))
		}
	}
	c.AtLeast(rules.Amperes(opens), rules.Amperes(sum), "%s, which alone feeds %s, gives at most %s A; the fuse is only sure to open from %s A",
		strings.Join(names, " with "), f.ID, rules.Figure(sum), rules.Figure(opens))
}

// openedA is the largest rating in A of a fuse, its curve in proportion, that its
// sources would still open; without limit where a battery feeds it, or where that
// is not known.
func (s *supply) openedA(f *schema.Fuse) float64 {
	feeds := s.feeds(f.ID)
	curve, err := s.curve(f.ID)
	if err != nil || len(feeds) == 0 || !onlyLimited(feeds) {
		return math.Inf(1)
	}
	opens, ok := curve.MustOpenA()
	if !ok {
		return math.Inf(1)
	}
	var sum float64
	for _, x := range sources(feeds) {
		sum += x.LimitA
	}
	return sum / opensSurely * f.RatedA / opens
}

// lasting is the greatest current in A that a mode sends through a fuse continuously.
func (s *supply) lasting(f *schema.Fuse) (a float64) {
	list, _ := s.stresses(f)
	for _, x := range list {
		if x.continuous() {
			a = max(a, x.amperes)
		}
	}
	return a
}

// sourceOf names where one side of a curve comes from.
func sourceOf(source, id string) string {
	if source == "declared" {
		return "the declared points of " + id
	}
	return source
}
