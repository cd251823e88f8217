package fuse

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func breakingLow() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-breaking-low",
		Family: family,
		Title:  "the breaking capacity of a fuse is below the short-circuit current",
		Why: "A fuse that must interrupt more than it can bursts, and throws an arc of several kiloamperes into its surroundings. " +
			"A small lithium pack easily delivers more than the 1 or 2 kA of a vehicle fuse. A larger fuse before it helps only where its maker " +
			"has tested the pair: the smaller one melts first and is left with the arc.",
		Relation: "breaking_A_dc, at a voltage of at least the working voltage, >= I_k = V_max / (R_b,min + cold copper) for a short right behind the fuse, " +
			"and what converters and chargers add. I_k is prospective: fuses are taken for links of no resistance, and so are contacts that state none; " +
			"inductance and the arc are left out as well. All of it errs to the safe side",
		Source:   "IEC 60269-1 (breaking capacity against the prospective current; clauses from memory); IEC 61660-1 for the form of the short-circuit current",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.battery_resistance_min_factor"},
		Fix:      "use a fuse with a higher DC breaking capacity",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.breaking_A_dc", Value: "2000"}}},
		Check: checkBreakingLow,
	}
}

func checkBreakingLow(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		judgeBreaking(s, c, f)
		return true
	})
}

func judgeBreaking(s *supply, c *rules.Check, f *schema.Fuse) {
	path := f.Path() + ".breaking_A_dc"
	if !f.BreakingAdc.Known {
		c.NotChecked(path, "needs the DC breaking capacity of %s", f.ID)
		return
	}
	feeds := s.feeds(f.ID)
	x, ok := s.greatestShort(f.ID, feeds, true)
	if !ok {
		c.NotChecked("a source that feeds "+f.ID, "nothing feeds a short circuit behind %s", f.ID)
		return
	}
	can := c.Given("I_1", "DC breaking capacity of "+f.ID, f.BreakingAdc.Value, "A", path)
	i, err := s.steps(c.Working, x, f.ID)
	if err != nil {
		unknown(c, err)
		return
	}
	c.In("", "pack full and warm, copper cold, short circuit right behind the fuse")
	// A capacity stated at a lower voltage says nothing here, unless even that
	// is too little.
	at, atPath := f.BreakingAtV, f.Path()+".breaking_at_V"
	if !at.Known {
		at, atPath = f.RatedVdc, f.Path()+".rated_V_dc"
	}
	if can >= i {
		if !at.Known {
			c.NotChecked(f.Path()+".breaking_at_V", "needs the voltage at which the breaking capacity of %s holds", f.ID)
			return
		}
		v, _ := demand.HighestVoltage(s.Pass, c.Working, sources(feeds))
		if c.Given("V_1", "voltage at which it holds", at.Value, "V", atPath) < v {
			if !f.BreakingAtV.Known {
				c.Because("fuse-voltage-low", f.ID)
			}
			c.Fix("use a fuse with a breaking capacity of %s A or more at %s V DC", rules.Figure(i), rules.Figure(math.Ceil(v)))
			c.Fail("%s states no breaking capacity at the %s V of its circuit; the %s A at %s V say nothing there",
				f.ID, rules.Figure(v), rules.Figure(can), rules.Figure(at.Value))
			return
		}
	}
	c.Fix("use a fuse that interrupts %s A DC or more", rules.Figure(i))
	c.AtMost(rules.Amperes(i), rules.Amperes(can), "a short circuit behind %s can drive %s A (prospective) through it; it interrupts %s A", f.ID, rules.Figure(i), rules.Figure(can))
}
