package fuse

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func breakingLow() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-breaking-low",
		Family: family,
		Title:  "the breaking capacity of a fuse is below the short-circuit current",
		Why: "A fuse that has to interrupt more than its breaking capacity bursts, and throws an arc of several kiloamperes into its surroundings. " +
			"A small lithium pack easily delivers more than the 1 or 2 kA of a vehicle fuse. A larger fuse upstream helps only where its maker " +
			"has tested the pair: the smaller one melts first and is left with the arc.",
		Relation: "breaking_A_dc, at a voltage of at least the working voltage, >= I_k = V_max / (R_b,min + cold copper) for a short circuit right behind the fuse, " +
			"plus what converters and chargers add. I_k is prospective: fuses count as links without resistance, and so do contacts that declare none; " +
			"inductance and the arc are left out as well. All of it errs on the safe side. The time constant L/R of these loops is not compared with that of the test: " +
			"1 uH per metre over their resistance is below 2 ms, and breaking capacities are tested at 10 ms and more (from memory)",
		Source:   "IEC 60269-1 (breaking capacity against the prospective current; clauses from memory); IEC 61660-1 for the form of the short-circuit current",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.battery_resistance_min_factor"},
		Vital:    []string{"fuses.breaking_A_dc", "fuses.breaking_at_V", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "use a fuse with a higher DC breaking capacity",
		Example: rules.Example{Vehicle: "heron", Subject: "main", Edits: []rules.Edit{
			{Path: "fuses.main.breaking_A_dc", Value: "2000"}}},
		Check: checkBreakingLow,
	}
}

// breakingStepA is the step in A in which a breaking capacity is proposed.
const breakingStepA = 100

func checkBreakingLow(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		evalBreaking(s, c, f)
		return true
	})
}

func evalBreaking(s *supply, c *rules.Check, f *schema.Fuse) {
	path := f.Path() + ".breaking_A_dc"
	if !f.BreakingAdc.Known {
		c.NotChecked(path, "%s: its DC breaking capacity is not declared", f.ID)
		return
	}
	feeds := s.feeds(f.ID)
	x, ok := s.greatestShort(f.ID, feeds, true)
	if !ok {
		c.NotChecked("a source that feeds "+f.ID, "%s: no source feeds a short circuit behind it", f.ID)
		return
	}
	can := c.Given("I_1", "DC breaking capacity of "+f.ID, f.BreakingAdc.Value, "A", path)
	i, err := s.steps(c.Working, x, f.ID)
	if err != nil {
		unknown(c, err)
		return
	}
	c.In("", "pack full and warm, copper cold, short circuit right behind the fuse")
	// A capacity stated at a lower voltage proves nothing here, unless even that
	// is too little.
	at, atPath := f.BreakingAtV, f.Path()+".breaking_at_V"
	if !at.Known {
		at, atPath = f.RatedVdc, f.Path()+".rated_V_dc"
	}
	if can >= i {
		if !at.Known {
			c.NotChecked(f.Path()+".breaking_at_V", "%s: the voltage of its breaking capacity is not declared", f.ID)
			return
		}
		v, _ := demand.HighestVoltage(s.Pass, c.Working, sources(feeds))
		if c.Given("V_1", "voltage for which it is stated", at.Value, "V", atPath) < v {
			if !f.BreakingAtV.Known {
				c.Because("fuse-voltage-low", f.ID)
			}
			c.Fix("use a fuse with a breaking capacity of at least %s A at %s V DC", rules.Figure(rules.RoundUp(i, breakingStepA)), rules.Figure(rules.RoundUp(v, 1)))
			c.Fail("%s: its breaking capacity of %s A is stated for %s V, its circuit reaches %s V",
				f.ID, rules.Figure(can), rules.Figure(at.Value), rules.Figure(v))
			return
		}
	}
	v, _ := demand.HighestVoltage(s.Pass, s.Subject(f.ID, "").Working, sources(feeds))
	c.Fix("use a fuse with a DC breaking capacity of at least %s A at %s V DC", rules.Figure(rules.RoundUp(s.Required()*i, breakingStepA)), rules.Figure(rules.RoundUp(v, 1)))
	if pack := besideUnfused(s, feeds); i > can && pack != "" {
		c.Because("parallel-pack-unfused", pack)
	}
	c.AtMost(rules.Amperes(i), rules.Amperes(can), "%s: prospective fault current %s A, breaking capacity %s A", f.ID, rules.Figure(i), rules.Figure(can))
}

// besideUnfused is a pack among those that feed a short circuit which stands in parallel
// with another and has no fuse of its own: with one, or alone, it would feed less.
func besideUnfused(s *supply, feeds []feed) string {
	for _, source := range sources(feeds) {
		if !source.IsBattery() {
			continue
		}
		own := s.Circuit.StringOf(source)
		others := slices.DeleteFunc(s.Circuit.StringsAcross(own.Pos(), own.Neg()), func(o circuit.SeriesString) bool { return o.Has(source.ID) })
		if _, fused := s.Circuit.OwnFuse(own, others); len(others) > 0 && !fused {
			return own[len(own)-1].ID
		}
	}
	return ""
}
