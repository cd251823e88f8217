package fuse

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
)

func withstandShort() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-withstand-short",
		Family: family,
		Title:  "a fuse lets more energy through in a short circuit than the conductor withstands",
		Why: "Within milliseconds to seconds all heat stays in the copper. If the fuse lets through more than the copper can absorb, " +
			"the insulation is ruined or alight before the fuse opens, along the whole length of the cable.",
		Relation: "I^2 t let through at the greatest and at the least short-circuit current <= k^2 S^2, for clearing within 5 s; " +
			"k from the conductor's temperature in use to the short-time limit of its insulation",
		Source:   "IEC 60364-4-43, 434.5.2; k by IEC 60364-5-54 Annex A",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.battery_resistance_min_factor", "policy.battery_resistance_max_factor", "policy.terminal_max_C"},
		Vital: []string{
			"fuses.opening", "fuses.total_I2t_A2s", "breakers.trip", "breakers.calibrated_C", "breakers.ambient", "wires.insulation", "batteries.resistance_mOhm", "batteries.short_circuit_A",
		},
		Fix: "use a thicker conductor, or a fuse with less let-through energy",
		Example: rules.Example{Vehicle: "heron", Subject: "w_fuse_isolator", Edits: []rules.Edit{
			{Path: "wires.w_fuse_isolator.size", Value: `"2.5 mm2"`}}},
		Check: checkWithstandShort,
	}
}

func checkWithstandShort(p *rules.Pass) {
	s := newSupply(p)
	s.conductors(func(c *rules.Check, id string) *verdict { return evalWithstand(s, c, id) })
}

// energy is what a fuse lets through a conductor.
type energy struct {
	current
	i2t     float64
	atA     float64
	seconds float64
	cleared bool // within the 5 s of the adiabatic check
}

func evalWithstand(s *supply, c *rules.Check, id string) *verdict {
	worst, err := s.worstEnergy(id)
	if err != nil {
		unknown(c, err)
		return nil
	}
	if worst == nil {
		return nil
	}
	rated, err := capacity.Derated(s.Pass, c.Working, id)
	if err != nil {
		unknown(c, err)
		return nil
	}
	c.In("", "short circuit, "+worst.corner())
	s.relate(c, worst.fuse)
	if done := s.withstandsContinuously(c, worst.current, rated); done {
		return nil
	}
	damage, err := s.replicas.Damage(rated, c.Working)
	if err != nil {
		c.Because("fuse-above-ampacity", id).Fail("%s is at its temperature limit without any current: %v", id, err)
		return nil
	}
	withstands := damage.WithstandI2t()
	if worst.cleared && worst.i2t > withstands && s.shortTap(c, id) {
		return nil
	}
	if !worst.cleared || worst.i2t > withstands {
		if fuses := s.parallelFuses(worst.loop, worst.fuse); fuses != nil {
			divided(c, id, fuses)
			return nil
		}
	}
	if (!worst.cleared || worst.i2t > withstands) && s.unproven(c, worst.loop, worst.atA) {
		return nil
	}
	if err := s.explainEnergy(c.Working, *worst); err != nil {
		unknown(c, err)
		return nil
	}
	v := &verdict{fuse: worst.fuse, headroom: ratio(withstands, worst.i2t)}
	if !worst.cleared {
		v.headroom = 0
	}
	v.cause = s.follows(id, v.headroom)
	if !worst.cleared {
		if v.cause[0] == "" {
			v.cause = [2]string{"fuse-far-fault-slow", id}
		}
		v.give = func() {
			c.Fail("%s: no short circuit is reliably cleared by %s within the 5 s in which the conductor may store all the heat", id, worst.fuse)
		}
		return v
	}
	if v.headroom < s.Required() {
		way := fmt.Sprintf("use %s for %s", s.bigger(rated), id)
		if moved := s.movable(id); moved != "" {
			way = moved + ", or " + way
		} else {
			way += fmt.Sprintf(", or a fuse for %s that lets through at most %s A2s", worst.fuse, rules.Figure(roundDown(withstands)))
		}
		c.Fix("%s", way)
	}
	v.give = func() {
		c.AtMost(rules.Quantity{Value: worst.i2t, Unit: "A2s"}, rules.Quantity{Value: withstands, Unit: "A2s"},
			"%s: %s A2s let through by %s at %s A, withstands %s A2s", id, rules.Figure(worst.i2t), worst.fuse, rules.Figure(worst.atA), rules.Figure(withstands))
	}
	return v
}

// worstEnergy finds, over the loops through a conductor, the one whose best
// fuse lets the most through; nil where no fuse has to do with it.
func (s *supply) worstEnergy(id string) (*energy, error) {
	var worst *energy
	for _, seen := range s.currents(id) {
		var best energy
		known := false
		var missing error
		for _, x := range seen {
			e, err := s.letThrough(x)
			switch {
			case err != nil:
				missing = err
			case !known || e.cleared && !best.cleared || e.cleared == best.cleared && e.i2t < best.i2t:
				best, known = e, true
			}
		}
		if !known {
			return nil, missing
		}
		if worst == nil {
			worst = new(energy)
			*worst = best
		} else if !best.cleared && worst.cleared || best.cleared == worst.cleared && best.i2t > worst.i2t {
			*worst = best
		}
	}
	if worst == nil {
		return nil, nil
	}
	return worst, s.knownBatteries(id)
}

// letThrough is the most that a fuse lets through at the greatest and the least
// current.
func (s *supply) letThrough(x current) (energy, error) {
	curve, err := s.curve(x.fuse)
	if err != nil {
		return energy{}, err
	}
	e := energy{current: x}
	for _, a := range []float64{x.mostA, x.leastA} {
		t := curve.MaxTime(a)
		if t > calc.AdiabaticLimitS {
			continue
		}
		if i2t := a * a * t; i2t > e.i2t {
			e.i2t, e.atA, e.seconds, e.cleared = i2t, a, t, true
		}
	}
	return e, nil
}

// corner says at which of the two currents the most is let through.
func (e *energy) corner() string {
	if e.cleared && e.atA == e.leastA && e.leastA != e.mostA {
		return "far end, pack empty and cold"
	}
	return "near end, pack full and warm"
}

// explainEnergy adds the current, the time and the energy to the working.
func (s *supply) explainEnergy(w *rules.Working, e energy) error {
	add, symbol := s.explainMost, "I_max"
	if e.cleared && e.atA == e.leastA && e.leastA != e.mostA {
		add, symbol = s.explainLeast, "I_min"
	}
	if err := add(w, e.current); err != nil || !e.cleared {
		return err
	}
	if err := s.explainOpening(w, e.fuse, e.atA); err != nil {
		return err
	}
	w.Calc("I2t", "energy that "+e.fuse+" lets through", symbol+"^2 t_open", rules.Term(e.atA)+"^2 * "+rules.Term(e.seconds), e.i2t, "A2s")
	return nil
}

// withstandsContinuously gives the verdict on a conductor whose ampacity suffices
// for the whole short-circuit current, as behind a resistor or a limited source.
func (s *supply) withstandsContinuously(c *rules.Check, x current, rated *capacity.Conductor) bool {
	if x.mostA > rated.IzA {
		return false
	}
	rated.ExplainAmpacity(c.Working)
	if err := s.explainMost(c.Working, x); err != nil {
		unknown(c, err)
		return true
	}
	c.AtMost(rules.Amperes(x.mostA), rules.Amperes(rated.IzA), "%s: no more than %s A in a short circuit, ampacity %s A", rated.ID, rules.Figure(x.mostA), rules.Figure(rated.IzA))
	return true
}
