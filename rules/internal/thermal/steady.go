package thermal

import (
	"errors"
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// verdict is the result of a rule on a conductor, held back until those of the
// others are known: one current that is too great for ten conductors in a row is
// one weakness.
type verdict struct {
	check    *rules.Check
	id       string
	demand   float64 // of equal demands in one place only the worst is a finding of its own
	mode     string
	headroom float64
	metres   float64
	give     func()
}

// settle gives the verdicts that were held back. Of those that fail alike, with
// the same current in the same mode, the one with the least headroom carries the
// finding, of equals the longest, and the others follow from it.
func (h *heater) settle(held []*verdict) {
	need := h.Required()
	// What is on beside that hardly counts makes an implied mode the greatest of one
	// conductor in a row, and not of the next.
	implied := func(v *verdict) bool { return v.mode == circuit.EverythingOn || v.mode == circuit.EverythingCharging }
	alike := func(a, b *verdict) bool {
		return (a.mode == b.mode || implied(a) || implied(b)) && math.Abs(a.demand-b.demand) <= 0.01*a.demand
	}
	graver := func(a, b *verdict) bool {
		const same = 1e-6
		switch {
		case a.headroom < b.headroom*(1-same):
			return true
		case a.headroom > b.headroom*(1+same):
			return false
		}
		return a.metres > b.metres*(1+same)
	}
	for _, v := range held {
		if v.headroom < need*(1-1e-9) {
			worst := v
			for _, w := range held {
				if w.headroom < need && alike(v, w) && graver(w, worst) {
					worst = w
				}
			}
			if worst != v {
				v.check.Because(h.Rule.ID, worst.id)
			}
		}
		v.give()
	}
}

// conductors yields the wired conductors of one kind, "wires" or "busbars", each
// with a check in the making, and gives the verdicts that eval holds back.
func (h *heater) conductors(kind string, eval func(c *rules.Check, id string) *verdict) {
	var held []*verdict
	for id, conductor := range h.Spec.Conductors() {
		if conductor.Kind != kind || conductor.Spare || h.Circuit.Edge(id) == nil {
			continue
		}
		if _, ok := h.Circuit.PhaseOf(h.Circuit.Edge(id)); ok {
			continue // no mode gives its current: phase-cable-overloaded and phase-cable-peak-hot
		}
		c := h.Subject(id, conductor.Path())
		if h.Unsound(c, conductor.From, conductor.To) {
			continue
		}
		if v := eval(c, id); v != nil {
			v.check, v.id, v.metres = c, id, h.metres(id)
			held = append(held, v)
		}
	}
	h.settle(held)
}

func (h *heater) metres(id string) float64 {
	if w, ok := h.Spec.Wires[id]; ok {
		return w.LengthM
	}
	return h.Spec.Busbars[id].LengthMM / 1000
}

// heater holds the conductors of a vehicle against the heat of what they carry.
type heater struct {
	*demand.Demands
	heatings *capacity.Heatings
	ownAir   bool // a mode states an air temperature of its own
}

func newHeater(p *rules.Pass) *heater {
	h := &heater{Demands: demand.For(p), heatings: rules.Shared(p, "heatings", func() *capacity.Heatings { return &capacity.Heatings{} })}
	for _, m := range p.Spec.Modes {
		h.ownAir = h.ownAir || m.AmbientC.Known
	}
	return h
}

// Steady checks what the conductors of a kind carry continuously and in the mean of
// the cycle against what they carry in their place.
func Steady(p *rules.Pass, kind string) {
	h := newHeater(p)
	h.conductors(kind, func(c *rules.Check, id string) *verdict {
		f := h.Of(c, id)
		if f == nil {
			return nil
		}
		mean, air := h.gravest(id, f)
		r, err := capacity.RateConductorIn(h.Pass, c.Working, id, air)
		if err != nil {
			unrated(c, id, err)
			return nil
		}
		return h.evalSteady(c, r, mean, f)
	})
}

// gravest is what heats a conductor most for the air in which it flows, and the mode of
// that air, nil for the hottest of all. Where no mode states its own it is the greatest.
func (h *heater) gravest(id string, f *demand.Carried) (worst demand.Mean, air *schema.Mode) {
	if !h.ownAir {
		return f.Mean(), nil
	}
	least := math.Inf(1)
	for _, m := range f.Means() {
		mode := m.AirMode(h.Spec.Vehicle.AmbientC.Max)
		if headroom := h.ampacityIn(id, mode) / max(m.A, 1e-9); headroom < least*(1-1e-9) || worst.Mode == nil {
			worst, air, least = m, mode, headroom
		}
	}
	return worst, air
}

// ampacityIn is the ampacity of a conductor in the air of a mode, in A; 0 where it is not
// known.
func (h *heater) ampacityIn(id string, m *schema.Mode) float64 {
	r, err := capacity.DeratedIn(h.Pass, h.Subject(id, id).Working, id, m)
	if err != nil {
		return 0
	}
	return max(0, r.IzA)
}

// unrated reports that the ampacity of a conductor is not known.
func unrated(c *rules.Check, id string, err error) {
	if missing := (*rules.Missing)(nil); errors.As(err, &missing) {
		c.NotChecked(missing.Path, "the ampacity of %s is not known: %s", id, missing.What)
		return
	}
	c.NotChecked(id, "the ampacity of %s cannot be computed: %v", id, err)
}

// explainMean adds how the mean comes about to the working of a rated conductor.
func explainMean(m demand.Mean, c *rules.Check, r *capacity.Conductor) {
	if m.Cycle.Steps == nil {
		c.Solved("I", "current of "+r.ID+" in mode "+m.Mode.ID, m.A, "A", m.At.String())
		return
	}
	m.Cycle.Explain(c.Working, r.ID)
	if rms, err := calc.RMSLine(m.Cycle.Intervals(), false); err == nil {
		c.Line("I", "r.m.s. current over the cycle", rms)
	}
}

// sayMean is the mean in words.
func sayMean(m demand.Mean, id string) string {
	switch {
	case m.Cycle.Steps == nil:
		return fmt.Sprintf("%s: %s A in mode %s", id, rules.Figure(m.A), m.Mode.ID)
	case m.Cycle.Declared:
		return fmt.Sprintf("%s: %s A r.m.s. over the cycle", id, rules.Figure(m.A))
	}
	return fmt.Sprintf("%s: %s A r.m.s. in mode %s, repeated every %s s", id, rules.Figure(m.A), m.Mode.ID, rules.Figure(m.Cycle.LengthS()))
}

func (h *heater) evalSteady(c *rules.Check, r *capacity.Conductor, worst demand.Mean, f *demand.Carried) *verdict {
	iz := max(0, r.IzA)
	if worst.Mode == nil {
		if f.Drawer == "" {
			c.Holds(true, "%s carries no continuous current", r.ID)
			return nil
		}
	} else {
		c.In(worst.Mode.ID, worst.At.String())
		explainMean(worst, c, r)
	}
	endless := iz
	if f.Drawer != "" && h.ownAir {
		endless = h.ampacityIn(r.ID, f.Endless.Mode)
	}
	if worst.A <= iz && f.Endless.A > endless {
		c.NotChecked(f.Endless.Mode.Path()+".lasts_s", "%s: %s A in mode %s, ampacity %s A; %s cannot draw that continuously, so give the mode's duration",
			r.ID, rules.Figure(f.Endless.A), f.Endless.Mode.ID, rules.Figure(endless), f.Drawer)
		return nil
	}
	if worst.Mode == nil {
		c.Holds(true, "%s carries no known continuous current", r.ID)
		return nil
	}
	if limit, short, ok := r.ShortA(h.Pass, iz); ok && short.Declared {
		return h.evalBetween(c, r, worst, short, limit)
	}
	v := &verdict{demand: worst.A, mode: worst.Mode.ID, headroom: iz / max(worst.A, 1e-9)}
	v.give = func() {
		c.Fix("%s (its fuse may require more), or split the current between two conductors", h.thicker(r, worst.A))
		c.AtMost(rules.Amperes(worst.A), rules.Amperes(iz), "%s, ampacity %s A", sayMean(worst, r.ID), rules.Figure(iz))
	}
	if worst.A <= iz {
		return v
	}
	if short, ok := r.Short(h.Pass, worst.A); ok && short.Reaches() {
		return h.evalShort(c, r, worst, short, v)
	}
	return v
}

// evalBetween checks a conductor that is so short that its terminals, which state their
// limits, carry off its heat: against the current at which it reaches its own limit with
// them at theirs.
func (h *heater) evalBetween(c *rules.Check, r *capacity.Conductor, worst demand.Mean, s capacity.Short, limitA float64) *verdict {
	h.explainShort(c, r, s)
	c.Solved("I_s", "current at which it reaches "+rules.Figure(s.OwnC)+" C between its terminals", limitA, "A", "the fin equation, by trial")
	v := &verdict{demand: worst.A, mode: worst.Mode.ID, headroom: limitA / max(worst.A, 1e-9)}
	v.give = func() {
		c.Fix("%s", h.thicker(r, worst.A))
		c.AtMost(rules.Amperes(worst.A), rules.Amperes(limitA), "%s, ampacity %s A; at a length of %s m its terminals at their own limits carry off the heat, so that it carries %s A",
			sayMean(worst, r.ID), rules.Figure(max(0, r.IzA)), rules.Figure(s.MetreM), rules.Figure(limitA))
	}
	return v
}

// explainShort adds the temperature along a short conductor, and its own limit, to a working.
func (h *heater) explainShort(c *rules.Check, r *capacity.Conductor, s capacity.Short) {
	s.Explain(c.Working)
	what := "temperature limit of " + r.ID + " itself"
	if _, ok := h.Spec.Wires[r.ID]; ok {
		c.Or("T_own", what, h.Spec.Wires[r.ID].Insulation.MaxC, "C", r.Path+".insulation.max_C", s.OwnC, "policy.insulation_max_C")
	} else {
		c.Default("T_own", what, s.OwnC, "C", "limit of tinned bolted joints, common practice")
	}
}

// jointOhm is the resistance in Ohm of a bolted joint that nobody objects to (common
// practice: 50 uOhm).
const jointOhm = 50e-6

// evalShort checks a conductor above its ampacity that is so short that its terminals
// would carry off its heat, if they stayed within limits that they do not state. That is
// an overload all the same, for nobody says that they can; but a note where they get no
// more than their own joints leave them in any case.
func (h *heater) evalShort(c *rules.Check, r *capacity.Conductor, worst demand.Mean, s capacity.Short, v *verdict) *verdict {
	h.explainShort(c, r, s)
	rise, allowed := s.HottestC-r.AmbientC, s.OwnC-r.AmbientC
	ends := fmt.Sprintf("%s, ampacity %s A; but at a length of %s m its terminals carry off the heat, %s W in all",
		sayMean(worst, r.ID), rules.Figure(max(0, r.IzA)), rules.Figure(s.MetreM), rules.Figure(max(0, -s.HeatFromEndsW)))
	if rise > allowed {
		v.give = func() {
			c.Fix("%s", h.thicker(r, worst.A))
			c.AtMost(rules.Amperes(worst.A), rules.Amperes(max(0, r.IzA)), "%s: it reaches %s C, limit %s C, even with them at their own limits",
				ends, rules.Figure(s.HottestC), rules.Figure(s.OwnC))
		}
		return v
	}
	v.give = func() {
		if joints := 2 * max(jointOhm, h.Spec.Policy.JointResistanceMOhm/1000) * worst.A * worst.A; -s.HeatFromEndsW <= joints {
			c.Level(rules.Note)
		}
		c.Fix("measure both terminals at that current, or give terminal_max_C of both parts, or %s", h.thicker(r, worst.A))
		c.AtMost(rules.Amperes(worst.A), rules.Amperes(max(0, r.IzA)), "%s: it stays at %s C only if they stay below %s C, which is not declared",
			ends, rules.Figure(s.HottestC), rules.Figure(max(s.EndC[0], s.EndC[1])))
	}
	return v
}

// thicker proposes what is enough for a current in the place of a conductor.
func (h *heater) thicker(r *capacity.Conductor, a float64) string {
	if size, ok := r.ThinnestFor(h.Pass, a); ok {
		return "use " + size
	}
	if b, ok := h.Spec.Busbars[r.ID]; ok {
		if w, ok := r.WiderFor(a); ok {
			return fmt.Sprintf("use a bar of %s x %s mm", rules.Figure(w), rules.Figure(b.ThicknessMM))
		}
	}
	return "use a larger section, a cooler place or a smaller bundle"
}

// Overloaded reports whether a conductor carries more continuously, or in the mean of
// the cycle, than it may.
func Overloaded(p *rules.Pass, id string) bool {
	h := newHeater(p)
	f := h.Quiet(id)
	return f != nil && h.overloaded(id, f)
}

func (h *heater) overloaded(id string, f *demand.Carried) bool {
	mean, air := h.gravest(id, f)
	r, err := capacity.DeratedIn(h.Pass, h.Subject(id, id).Working, id, air)
	return err == nil && mean.A > r.IzA
}
