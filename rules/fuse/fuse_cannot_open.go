package fuse

import (
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// opensSurely is by how much the only source of a fuse should exceed the current
// at which it reliably opens (common practice).
const opensSurely = 1.3

func cannotOpen() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-cannot-open",
		Family: family,
		Title:  "the only source of a circuit supplies too little current to open its fuse",
		Why: "A converter supplies no more than its current limit, whatever is connected to it. Behind a fuse that needs more to open, a short circuit " +
			"takes the whole house network down instead of one branch, and the wire goes on glowing without the fuse ever opening.",
		Relation: "where no battery feeds a fuse: the sum of the current limits of the converters and chargers that feed it >= 1.3 times the current at which it reliably opens, " +
			"and they hold that current in a short circuit",
		Source:   "time-current gates of ISO 8820-3 and -5, UL 248, IEC 60269-1; the factor is common practice",
		Level:    rules.Warning,
		Required: opensSurely,
		Policy:   []string{"policy.converter_limit_factor"},
		Vital:    []string{"fuses.opening", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
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
			evalCannotOpen(s, c, f, feeds)
		}
		return true
	})
}

func evalCannotOpen(s *supply, c *rules.Check, f *schema.Fuse, feeds []feed) {
	curve, err := s.curve(f.ID)
	if err != nil {
		unknown(c, err)
		return
	}
	opens, ok := curve.MustOpenA()
	if !ok {
		c.NotChecked(f.Path()+".opening.max", "%s: the current at which it reliably opens is not known", f.ID)
		return
	}
	var sum float64
	var names, terms []string
	for _, x := range sources(feeds) {
		if conv := s.Spec.Converters[x.ID]; conv != nil && (conv.Output.AtLimit == "hiccup" || conv.Output.AtLimit == "foldback") {
			c.GivenText("at_limit", "behaviour of "+x.ID+" in a short circuit", conv.Output.AtLimit, conv.Path()+".output.at_limit")
			c.Related(conv.Path()+".output.at_limit", "it does not hold its current limit")
			c.Fix("use a converter that holds its current limit in a short circuit, or add an auxiliary battery")
			c.Fail("%s is fed by %s, which does not hold its current limit in a short circuit (%s): the fuse does not open and the whole network goes down",
				f.ID, x.ID, conv.Output.AtLimit)
			return
		}
		sum += c.Given("I_"+x.ID, "current limit of "+x.ID, x.LimitA, "A", x.LimitFrom)
		names, terms = append(names, x.ID), append(terms, rules.Figure(x.LimitA))
	}
	if len(names) > 1 {
		c.Calc("I_sum", "sum of the limits", "sum", strings.Join(terms, " + "), sum, "A")
	}
	c.Given("I_n", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
	c.Standard("I_2", "current at which "+f.ID+" reliably opens", opens, "A", sourceOf(curve.MaxSource(), f.ID))
	if need := s.Required() * opens; sum < need {
		most := s.openedA(f)
		if down, ok := s.smaller(f, most); ok {
			c.Fix("use a fuse of %s A for %s, or add an auxiliary battery", rules.Figure(down), f.ID)
		} else {
			c.Fix("%s (no smaller fuse for %s carries the current in use)", s.opened(f, f.RatedA, most), f.ID)
		}
	}
	c.AtLeast(rules.Amperes(opens), rules.Amperes(sum), "%s reliably opens only above %s A and is fed only by %s, with up to %s A",
		f.ID, rules.Figure(opens), rules.And(names), rules.Figure(sum))
}

// openedA is the largest rating in A of a fuse, its curve in proportion, that its
// sources would still open, surely and in the time for clearing a fault; without
// limit where a battery feeds it, or where that is not known.
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
	need := opensSurely * opens
	if within, ok := curve.OpensWithinA(s.Spec.Policy.FaultClearingS); ok {
		need = max(need, within)
	}
	var sum float64
	for _, x := range sources(feeds) {
		sum += x.LimitA
	}
	return sum * f.RatedA / need
}

// sourceOf names where one side of a curve comes from.
func sourceOf(source, id string) string {
	if source == "declared" {
		return "the declared points of " + id
	}
	return source
}
