package fuse

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
)

func slowerThanDamage() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-slower-than-damage",
		Family: family,
		Title:  "at some current a conductor is damaged before its fuse opens",
		Why: "A fuse can suit a cable at its rating and in a dead short and still be too slow in between: a pinched cable, a stalled pump, " +
			"a short at the end of a long thin lead draws three to ten times the rating, and there the curves may cross.",
		Relation: "at every current from the one at which the fuse reliably opens up to the greatest short circuit, the longest opening time <= " +
			"the time that the conductor withstands: k^2 S^2 / I^2 up to 5 s, beyond that the heating to the temperature that the 1.45 rule accepts. " +
			"Where overload is prevented otherwise (gG with I_n <= I_z, identical parallel conductors, overload_protection_by, a fuse at the far end of the run) " +
			"from the current that opens the fuse in 5 s",
		Source:   "IEC 60364-4-43, 433.1 and 434.5.2; heating in the form of IEC 60255-149; the curve is the fuse's own or the gate of its class",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.terminal_max_C", "policy.battery_resistance_min_factor"},
		Vital:    []string{"fuses.opening", "breakers.trip", "breakers.calibrated_C", "breakers.ambient", "wires.insulation", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "use a thicker conductor, or a faster fuse",
		Example: rules.Example{Vehicle: "heron", Subject: "w_fuse_isolator", Edits: []rules.Edit{
			{Path: "fuses.main.opening.max", Value: `[{"current_A": 169, "s": 1800}, {"current_A": 250, "s": 1500}, {"current_A": 438, "s": 900}, {"current_A": 625, "s": 90}]`}}},
		Check: checkSlowerThanDamage,
	}
}

func checkSlowerThanDamage(p *rules.Pass) {
	s := newSupply(p)
	s.conductors(func(c *rules.Check, id string) *verdict { return evalDamage(s, c, id) })
}

// race is where the opening of a fuse and the damage of a conductor come closest.
type race struct {
	current
	calc.Worst
}

func evalDamage(s *supply, c *rules.Check, id string) *verdict {
	all := s.currents(id)
	if len(all) == 0 {
		return nil
	}
	if err := s.knownBatteries(id); err != nil {
		unknown(c, err)
		return nil
	}
	rated, err := capacity.Derated(s.Pass, c.Working, id)
	if err != nil {
		unknown(c, err)
		return nil
	}
	if greatest := greatestOf(all); greatest.mostA <= rated.IzA {
		s.relate(c, greatest.fuse)
		s.withstandsContinuously(c, greatest, rated)
		return nil
	}
	rated.ExplainAmpacity(c.Working)
	damage, err := s.replicas.Damage(rated, c.Working)
	if err != nil {
		c.Because("fuse-above-ampacity", id).Fail("%s is at its temperature limit without any current: %v", id, err)
		return nil
	}
	worst, err := s.worstRace(all, damage, id)
	if err != nil {
		unknown(c, err)
		return nil
	}
	if worst.Margin < 1 && s.shortTap(c, id) {
		return nil
	}
	if worst.Margin < 1 {
		if fuses := s.parallelFuses(worst.loop, worst.fuse); fuses != nil {
			divided(c, id, fuses)
			return nil
		}
	}
	if worst.Margin < 1 && s.unproven(c, worst.loop, worst.CurrentA) {
		return nil
	}
	s.relate(c, worst.fuse)
	if err := s.explainRace(c.Working, worst, damage, rated); err != nil {
		unknown(c, err)
		return nil
	}
	if worst.Margin < s.Required() {
		c.Fix("%s", s.sooner(rated, worst))
	}
	v := &verdict{fuse: worst.fuse, headroom: min(1e6, worst.Margin)}
	v.cause = s.follows(id, v.headroom)
	v.give = func() { sayRace(c, worst, id) }
	return v
}

// sooner is the fix for a conductor that is damaged before its fuse opens.
func (s *supply) sooner(rated *capacity.Conductor, x race) string {
	bigger := fmt.Sprintf("use %s for %s", s.bigger(rated), rated.ID)
	if moved := s.movable(rated.ID); moved != "" {
		return moved + ", or " + bigger
	}
	if down, ok := s.smallerFor(s.fuseOf(x.fuse), rated); ok {
		return bigger + fmt.Sprintf(", or a %s of at most %s A for %s", noun(s.fuseOf(x.fuse)), rules.Figure(down), x.fuse)
	}
	return bigger + fmt.Sprintf(", or a %s for %s that opens within %s at %s A", noun(s.fuseOf(x.fuse)), x.fuse, seconds(roundDown(x.ConductorS)), rules.Figure(x.CurrentA))
}

// sayRace gives the verdict in words that fit the numbers.
func sayRace(c *rules.Check, x race, id string) {
	quantity := func(v float64) rules.Quantity { return rules.Quantity{Value: v, Unit: "s"} }
	switch at := rules.Figure(x.CurrentA); {
	case math.IsInf(x.ConductorS, 1):
		// Nothing to compare: the conductor withstands whatever the fuse leaves on.
		c.AtMost(quantity(0), quantity(1), "%s withstands continuously every current at which %s does not open in time", id, x.fuse)
	case math.IsInf(x.FuseS, 1):
		c.Fail("%s: damaged after %s at %s A, at which %s may never open", id, seconds(x.ConductorS), at, x.fuse)
	default:
		c.AtMost(quantity(x.FuseS), quantity(x.ConductorS), "%s: withstands %s A for %s, %s takes up to %s to open",
			id, at, seconds(x.ConductorS), x.fuse, seconds(x.FuseS))
	}
}

// greatestOf picks the greatest short circuit.
func greatestOf(all [][]current) current {
	greatest := all[0][0]
	for _, seen := range all {
		for _, x := range seen {
			if x.mostA > greatest.mostA {
				greatest = x
			}
		}
	}
	return greatest
}

// worstRace compares, for each loop, the best of its fuses with the damage
// curve, and returns the worst of the loops.
func (s *supply) worstRace(all [][]current, damage *calc.Damage, id string) (race, error) {
	var worst race
	for i, seen := range all {
		best, known := race{}, false
		var missing error
		for _, x := range seen {
			r, err := s.race(x, damage, id)
			if err != nil {
				missing = err
				continue
			}
			if !known || r.Margin > best.Margin {
				best, known = r, true
			}
			if best.Margin >= 1 {
				break // the nearest fuse protects it; the next would be no more than a spare
			}
		}
		if !known {
			return race{}, missing
		}
		if i == 0 || best.Margin < worst.Margin {
			worst = best
		}
	}
	return worst, nil
}

// race compares one fuse with the damage curve over the currents in question.
func (s *supply) race(x current, damage *calc.Damage, id string) (race, error) {
	curve, err := s.curve(x.fuse)
	if err != nil {
		return race{}, err
	}
	from, ok := s.raceFrom(x.fuse, curve, id)
	if !ok || from >= x.mostA {
		w, err := calc.WorstMargin(curve, damage.Time, x.mostA, x.mostA)
		return race{current: x, Worst: w}, err
	}
	key := raceKey{curve, damage, from}
	r := s.races[key]
	if r == nil {
		r = calc.NewRace(curve, damage, from)
		s.races[key] = r
	}
	w, err := r.Worst(x.mostA)
	return race{current: x, Worst: w}, err
}

// raceKey is a fuse against a conductor from a current on: fuses of one make, and
// conductors that heat in the same way, share their curves.
type raceKey struct {
	curve  *calc.Curve
	damage *calc.Damage
	fromA  float64
}

// raceFrom is the current from which on a fuse must be faster than the damage.
func (s *supply) raceFrom(id string, curve *calc.Curve, conductor string) (float64, bool) {
	f := s.fuseOf(id)
	class := calc.FuseClass(f.Class)
	l, _ := class.Loading()
	k := s.coordination(conductor)
	general := class == calc.ClassGG
	if general && k.suffices() || l.PartialRange || k.by != "" || (k.series != "" || k.share < 1) && k.suffices() {
		return curve.OpensWithinA(calc.AdiabaticLimitS)
	}
	return curve.MustOpenA()
}

// explainRace adds the currents, the opening time and the time that the conductor
// withstands to the working.
func (s *supply) explainRace(w *rules.Working, x race, damage *calc.Damage, rated *capacity.Conductor) error {
	if err := s.explainMost(w, x.current); err != nil {
		return err
	}
	w.Calc("I", "current at which opening and damage come closest, of all that reliably open the fuse up to I_max", "", "", x.CurrentA, "A")
	if err := s.explainOpening(w, x.fuse, x.CurrentA); err != nil {
		return err
	}
	rated.ExplainDamage(w, damage, x.CurrentA)
	return nil
}
