package fuse

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
)

func farFaultSlow() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-far-fault-slow",
		Family: family,
		Title:  "a short circuit at the far end of a conductor is not cleared in time",
		Why: "Long thin leads and an aged, cold, empty battery keep a short-circuit current small. The fuse then opens late, " +
			"and until then the fault glows.",
		Relation: "the short-circuit current at the far end of each conductor, with the battery empty, aged and cold and the copper hot, " +
			"opens its fuse within policy.fault_clearing_s; conductors that withstand every short circuit continuously are excepted",
		Source:   "IEC 60364-4-43, 434.5.2 (5 s); the resistance of a cold or aged battery: common practice",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.fault_clearing_s", "policy.battery_resistance_max_factor", "policy.terminal_max_C"},
		Vital:    []string{"fuses.opening", "breakers.trip", "breakers.calibrated_C", "breakers.ambient", "batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:      "use thicker or shorter conductors where the loop has most of its resistance, or a smaller or faster fuse",
		Example: rules.Example{Vehicle: "heron", Subject: "w_horn_pos", Edits: []rules.Edit{
			{Path: "wires.w_horn_pos.length_m", Value: "60"}}},
		Check: checkFarFaultSlow,
	}
}

func checkFarFaultSlow(p *rules.Pass) {
	s := newSupply(p)
	s.conductors(func(c *rules.Check, id string) *verdict { return evalFarFault(s, c, id) })
}

// clearing is a least short circuit against the current that opens its fuse in
// time.
type clearing struct {
	current
	needA float64 // +Inf if no current does
}

func evalFarFault(s *supply, c *rules.Check, id string) *verdict {
	all := s.currents(id)
	if len(all) == 0 {
		return nil
	}
	if err := s.knownBatteries(id); err != nil {
		unknown(c, err)
		return nil
	}
	worst, err := s.worstClearing(all)
	if err != nil {
		unknown(c, err)
		return nil
	}
	// What the conductor withstands continuously is in the working only where the
	// verdict rests on it.
	aside := s.Subject(id, s.Spec.Conductor(id).Path()).Working
	rated, err := capacity.Derated(s.Pass, aside, id)
	if err != nil {
		unknown(c, err)
		return nil
	}
	s.relate(c, worst.fuse)
	if greatest := greatestOf(all); greatest.mostA <= rated.IzA {
		if rated, err = capacity.Derated(s.Pass, c.Working, id); err == nil {
			s.withstandsContinuously(c, greatest, rated)
		}
		return nil
	}
	if worst.leastA < worst.needA && s.shortTap(c, id) {
		return nil
	}
	if worst.leastA < worst.needA {
		if fuses := s.parallelFuses(worst.loop, worst.fuse); fuses != nil {
			divided(c, id, fuses)
			return nil
		}
	}
	if worst.leastA < worst.needA && s.unproven(c, worst.loop, worst.leastA) {
		return nil
	}
	return s.sayClearing(c, worst, id)
}

func (s *supply) sayClearing(c *rules.Check, x clearing, id string) *verdict {
	if err := s.explainLeast(c.Working, x.current); err != nil {
		unknown(c, err)
		return nil
	}
	t := c.Default("t_clear", "time in which a fault has to be cleared", s.Spec.Policy.FaultClearingS, "s", "policy.fault_clearing_s")
	c.In("", "short circuit at the far end, pack empty, aged and cold, copper hot")
	v := &verdict{fuse: x.fuse, headroom: ratio(x.leastA, x.needA)}
	if v.headroom < s.Required() {
		c.Fix("%s", s.quicken(x, t))
	}
	if math.IsInf(x.needA, 1) {
		v.give = func() {
			c.Fail("%s: no current reliably opens %s within %s, so no short circuit is cleared in time", id, x.fuse, seconds(t))
		}
		return v
	}
	c.Calc("I", "least current that reliably opens "+x.fuse+" within t_clear, as the opening time there shows", "", "", x.needA, "A")
	if err := s.explainOpening(c.Working, x.fuse, x.needA); err != nil {
		unknown(c, err)
		return nil
	}
	v.give = func() {
		c.AtLeast(rules.Amperes(x.needA), rules.Amperes(x.leastA), "%s: fault current %s A at its far end, %s needs %s A to open within %s",
			id, rules.Figure(x.leastA), x.fuse, rules.Figure(x.needA), seconds(t))
	}
	return v
}

// worstClearing finds, over the loops, the one whose best fuse is farthest from
// opening in time.
func (s *supply) worstClearing(all [][]current) (clearing, error) {
	var worst clearing
	for i, seen := range all {
		best, known := clearing{}, false
		var missing error
		for _, x := range seen {
			curve, err := s.curve(x.fuse)
			if err != nil {
				missing = err
				continue
			}
			need := s.clearingA(curve)
			if !known || x.leastA*best.needA > best.leastA*need || math.IsInf(best.needA, 1) {
				best, known = clearing{current: x, needA: need}, true
			}
		}
		if !known {
			return clearing{}, missing
		}
		if i == 0 || best.leastA/best.needA < worst.leastA/worst.needA {
			worst = best
		}
	}
	return worst, nil
}

// clearingA is the current in A that opens a fuse in the time for clearing a fault,
// +Inf if none does.
func (s *supply) clearingA(curve *calc.Curve) float64 {
	need, ok := s.opensAt[curve]
	if !ok {
		if need, ok = curve.OpensWithinA(s.Spec.Policy.FaultClearingS); !ok {
			need = math.Inf(1)
		}
		s.opensAt[curve] = need
	}
	return need
}

// explainOpening adds by when a fuse has opened at a current to the working.
func (s *supply) explainOpening(w *rules.Working, id string, currentA float64) error {
	curve, err := s.curve(id)
	if err != nil {
		return err
	}
	capacity.ExplainOpening(w, s.fuseOf(id), curve, currentA)
	return nil
}
