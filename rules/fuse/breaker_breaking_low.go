package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
)

func breakerBreakingLow() *rules.Rule {
	return &rules.Rule{
		ID:     "breaker-breaking-low",
		Family: family,
		Title:  "the breaking capacity of a circuit breaker is below the short-circuit current",
		Why: "Its contacts open, and weld together again in their own arc. A fuse before it that is to do this in its place helps only where the maker has tested the pair: " +
			"the breaker opens first and is left with the arc.",
		Relation: "breaking_A_dc, at a voltage of at least the working voltage, >= the prospective short-circuit current right behind the breaker, as of fuse-breaking-low",
		Source:   "IEC 60947-2 (Icu, Ics) and IEC 60898-1 against the prospective current; clauses from memory; physics of the arc",
		Level:    rules.Error,
		Varies:   "note where it interrupts that once and has to be replaced then (Icu)",
		Required: 1,
		Policy:   []string{"policy.battery_resistance_min_factor"},
		Vital:    []string{"breakers.breaking_A_dc", "breakers.breaking_at_V", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "use a breaker with a higher DC breaking capacity, or a fuse in its place",
		Example: rules.Example{Vehicle: "mole", Subject: "solar_breaker", Edits: []rules.Edit{
			{Path: "breakers.solar_breaker.breaking_A_dc", Value: "1000"}}},
		Check: eachBreaker(evalBreakerBreaking),
	}
}

func evalBreakerBreaking(s *supply, c *rules.Check, d breaker) {
	if !d.BreakingAdc.Known {
		c.NotChecked(d.field("breaking_A_dc"), "%s: its DC breaking capacity is not declared", d.ID)
		return
	}
	feeds := s.feeds(d.ID)
	x, ok := s.greatestShort(d.ID, feeds, true)
	if !ok {
		c.NotChecked("a source that feeds "+d.ID, "%s: no source feeds a short circuit behind it", d.ID)
		return
	}
	can := c.Given("I_cu", "DC breaking capacity of "+d.ID, d.BreakingAdc.Value, "A", d.field("breaking_A_dc"))
	i, err := s.steps(c.Working, x, d.ID)
	if err != nil {
		unknown(c, err)
		return
	}
	c.In("", "pack full and warm, copper cold, short circuit right behind the breaker")
	v, _ := demand.HighestVoltage(s.Pass, s.Subject(d.ID, "").Working, sources(feeds))
	c.Fix("use a breaker with a DC breaking capacity of at least %s A at %s V DC, or a fuse", rules.Figure(rules.RoundUp(s.Required()*i, breakingStepA)), rules.Figure(rules.RoundUp(v, 1)))
	at, atPath := d.BreakingAtV, d.field("breaking_at_V")
	if !at.Known {
		at, atPath = d.RatedVdc, d.field("rated_V_dc")
	}
	switch {
	case can < i:
	case !at.Known:
		c.NotChecked(d.field("breaking_at_V"), "%s: the voltage of its breaking capacity is not declared", d.ID)
		return
	case c.Given("V_cu", "voltage for which it is stated", at.Value, "V", atPath) < v:
		if !d.BreakingAtV.Known {
			c.Because("breaker-voltage-low", d.ID)
		}
		c.Fail("%s: its breaking capacity of %s A is stated for %s V, its circuit reaches %s V", d.ID, rules.Figure(can), rules.Figure(at.Value), rules.Figure(v))
		return
	case d.BreakingFor == "once" && can >= s.Required()*i:
		c.Level(rules.Note)
		c.Fix("write into the notes that %s is replaced after a short circuit, and carry one", d.ID)
		c.Fail("%s interrupts a prospective fault current of %s A once (%s A, Icu) and has to be replaced then", d.ID, rules.Figure(i), rules.Figure(can))
		return
	}
	c.AtMost(rules.Amperes(i), rules.Amperes(can), "%s: prospective fault current %s A, breaking capacity %s A DC", d.ID, rules.Figure(i), rules.Figure(can))
}
