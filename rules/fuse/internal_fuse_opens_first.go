package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func internalOpensFirst() *rules.Rule {
	return &rules.Rule{
		ID:     "internal-fuse-opens-first",
		Family: family,
		Title:  "a main fuse is not surely faster than the fuse inside its battery",
		Why: "The fuse inside a sealed pack is no spare part. If it opens before the main fuse, a short circuit in the loom costs the pack, " +
			"and a roadside repair is out of the question.",
		Relation: "I_n <= 0.62 internal_fuse_A for each fuse that has no other before it: the curve of the fuse inside is not known, and a ratio of 1.6 is selective within one family",
		Source:   "IEC 60269-2, ratio 1.6 of gG fuses (from memory); for others common practice",
		Level:    rules.Note,
		Required: 1,
		Fix:      "use a smaller main fuse, or show by both curves that it opens first",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "batteries.pack.internal_fuse_A", Value: "150"}}},
		Check: checkInternalOpensFirst,
	}
}

// internalShare is the rating of a main fuse over that of the fuse inside the battery
// up to which the main fuse opens first: 1/1.6.
const internalShare = 0.62

func checkInternalOpensFirst(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		if s.hasFuseBefore(f.ID) {
			return true
		}
		smallest := circuit.Source{}
		for _, x := range sources(s.feeds(f.ID)) {
			if x.InternalFuseA > 0 && (smallest.ID == "" || x.InternalFuseA < smallest.InternalFuseA) {
				smallest = x
			}
		}
		if smallest.ID == "" {
			return true
		}
		n := c.Given("I_n", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
		inside := c.Given("I_int", "rated current of the fuse inside "+smallest.ID, smallest.InternalFuseA, "A", "batteries."+smallest.ID+".internal_fuse_A")
		limit := c.Calc("I_max", "greatest rating that surely opens first", "0.62 I_int", "0.62 * "+rules.Term(inside), internalShare*inside, "A")
		if down, ok := s.smaller(f, limit/s.Required()); ok {
			c.Fix("use a fuse of %s A for %s, or show by both curves that it opens first", rules.Figure(down), f.ID)
		}
		c.AtMost(rules.Amperes(n), rules.Amperes(limit), "%s: rated %s A, surely opens before the %s A fuse inside %s only up to %s A",
			f.ID, rules.Figure(n), rules.Figure(inside), smallest.ID, rules.Figure(limit))
		return true
	})
}

// hasFuseBefore reports whether another fuse protects all that one does, and more.
func (s *supply) hasFuseBefore(id string) bool {
	for other := range s.Spec.Fuses {
		if s.downstream(id, other) {
			return true
		}
	}
	return false
}
