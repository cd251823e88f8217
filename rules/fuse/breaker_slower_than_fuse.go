package fuse

import (
	"math"

	"example.org/headroom/rules"
)

func breakerSlowerThanFuse() *rules.Rule {
	return &rules.Rule{
		ID:     "breaker-slower-than-fuse",
		Family: family,
		Title:  "the fuse before a circuit breaker blows before the breaker trips",
		Why:    "The breaker is there so that nobody has to change a fuse. Where the fuse is faster at overload, the breaker is a switch, and the spare fuse is in the workshop.",
		Relation: "from the current at which the breaker surely trips up to the least of its breaking capacity and the short-circuit current, its longest tripping time, in the cold, <= the shortest opening time of the fuse. " +
			"Above its breaking capacity the fuse is to be faster, which is what it is there for",
		Source:   "IEC 60947-2, annex A (coordination with a fuse in series, from memory); common practice",
		Level:    rules.Note,
		Required: 1,
		Fix:      "use a slower or larger fuse before it, or a faster breaker",
		Example: rules.Example{Vehicle: "mole", Subject: "solar_breaker", Edits: []rules.Edit{
			{Path: "breakers.solar_breaker.instant.clears_s", Value: "1"},
			{Path: "breakers.solar_breaker.total_I2t_A2s"}}},
		Check: eachBreaker(evalSlowerThanFuse),
	}
}

func evalSlowerThanFuse(s *supply, c *rules.Check, d breaker) {
	before := s.before(d.ID)
	fuse := s.Spec.Fuses[before]
	if fuse == nil {
		c.Holds(true, "%s: no fuse is in series before it", d.ID)
		return
	}
	own, err := s.curve(d.ID)
	if err != nil {
		unknown(c, err)
		return
	}
	other, err := s.curve(before)
	if err != nil {
		unknown(c, err)
		return
	}
	x, ok := s.greatestShort(d.ID, s.feeds(d.ID), false)
	least, sure := own.MustOpenA()
	if !ok || !sure {
		c.NotChecked("a short circuit behind "+d.ID, "%s: no short circuit, or no current at which it surely trips, is known", d.ID)
		return
	}
	most := min(x.amperes(), d.BreakingAdc.Or(math.Inf(1)))
	var at, slow, fast, worst float64
	const steps = 200
	for i := range steps + 1 {
		a := least * math.Pow(max(most, least)/least, float64(i)/steps)
		if trips, opens := own.MaxTime(a), other.MinTime(a); at == 0 || trips/opens > worst {
			at, slow, fast, worst = a, trips, opens, trips/opens
		}
	}
	c.Related(fuse.Path(), "the fuse before it")
	if math.IsInf(fast, 1) {
		c.Holds(true, "%s: %s never opens at a current up to %s A that trips it", d.ID, before, rules.Figure(most))
		return
	}
	c.Calc("I", "current at which the two come closest, of all up to the least of short circuit and breaking capacity", "", "", at, "A")
	if fast == 0 || s.bounded(d.ID, at) {
		c.NotChecked(longestPath(s.fuseOf(d.ID)), "%s and %s: their times at %s A are not known", d.ID, before, rules.Figure(at))
		return
	}
	c.AtMost(rules.Quantity{Value: slow, Unit: "s"}, rules.Quantity{Value: fast, Unit: "s"},
		"%s: takes up to %s to trip at %s A, %s before it may open within %s", d.ID, seconds(slow), rules.Figure(at), before, seconds(fast))
}
