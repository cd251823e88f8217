package demand

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Flow is what a conductor carries.
type Flow struct {
	// Lasting is what flows continuously, mode by mode, without loads that are only
	// briefly on; Turns are the cycles of currents.
	Lasting []capacity.Use
	Turns   []capacity.Turn
	// Peaks are currents that may come at any time: what a controller may draw by
	// its own limit, and brief loads.
	Peaks []capacity.Turn
	// Endless is a mode without a duration whose draw its controller, Drawer,
	// cannot keep up: neither continuously nor known to be short.
	Endless capacity.Use
	Drawer  string
	// Unlimited is a controller's own peak without the time that it lasts.
	Unlimited capacity.DutyStep

	failed  *circuit.Solution
	missing string // path of the battery resistance that a current rests on
}

// corners are the states of the supply in which a conductor may carry most:
// consumers that regulate their power draw more from an empty battery,
// resistances from a full one, and with the converter off the auxiliary battery
// carries the house.
func corners(mode string) []circuit.Case {
	return []circuit.Case{
		{Mode: mode, Pack: circuit.Lowest},
		{Mode: mode, Pack: circuit.Highest},
		{Mode: mode, Pack: circuit.Lowest, House: circuit.Alone, Auxiliary: circuit.Lowest},
		{Mode: mode, Pack: circuit.Highest, House: circuit.Alone, Auxiliary: circuit.Highest},
	}
}

// Flow finds what a conductor carries, or reports why that is not known and
// returns nil.
func (l *Ledger) Flow(c *rules.Check, id string) *Flow {
	if len(l.Spec.Modes) == 0 {
		c.NotChecked("modes", "no mode of use says what flows through %s", id)
		return nil
	}
	if capacity.CycleUnknown(c, l.Spec) {
		return nil
	}
	f := l.flow(id)
	switch {
	case f.failed != nil && c.Unsettled(f.failed, id):
		return nil
	case f.missing != "":
		c.NotChecked(f.missing, "the current of %s grows as the battery sags, and its resistance is not given", id)
		return nil
	}
	return f
}

// flow finds what a conductor carries, once.
func (l *Ledger) flow(id string) *Flow {
	f, ok := l.flows[id]
	if !ok {
		f = l.findFlow(l.Circuit.Edge(id))
		l.flows[id] = f
	}
	return f
}

func (l *Ledger) findFlow(e *circuit.Edge) *Flow {
	f := &Flow{}
	var uses []capacity.Use
	var brief []capacity.DutyStep
	for id, m := range schema.Sorted(l.Spec.Modes) {
		u := capacity.Use{Mode: m, At: circuit.Case{Mode: id}}
		var signed float64
		for _, k := range corners(id) {
			s := l.Circuit.Solve(k)
			if !s.Settled(e.ID) {
				return &Flow{failed: s}
			}
			// Of equal currents the first counts, whatever the last digits say.
			if i := noticeable(s.Current(e.ID)); math.Abs(i) > u.A*(1+1e-9) {
				u.A, u.At, signed = math.Abs(i), k, i
			}
		}
		if !capacity.Lasting(l.Spec, m) {
			uses = append(uses, u)
			continue
		}
		if by := l.beyond(u); by != "" {
			if u.A > f.Endless.A {
				f.Endless, f.Drawer = u, by
			}
			continue
		}
		if steady, step := l.withoutBrief(e, u, signed); step.S > 0 {
			brief = append(brief, step)
			u = steady
		}
		uses = append(uses, u)
	}
	f.missing = l.unsureSag(e)
	f.Lasting, f.Turns = capacity.Turns(l.Spec, uses)
	for _, step := range append(brief, l.drawn(e)...) {
		if math.IsInf(step.S, 1) {
			if step.A > f.Unlimited.A {
				f.Unlimited = step
			}
			continue
		}
		f.Peaks = append(f.Peaks, capacity.Before(step, f.Lasting, f.Turns))
	}
	return f
}

// noticeable takes what flows through the inputs of meters as nothing.
func noticeable(amperes float64) float64 {
	if math.Abs(amperes) < 1e-4 {
		return 0
	}
	return amperes
}

// beyond names a controller that a mode asks for more than it may draw continuously.
func (l *Ledger) beyond(u capacity.Use) string {
	for id := range schema.Sorted(u.Mode.Draw) {
		k, ok := l.Spec.Controllers[id]
		if ok && k.BatteryContinuousA.Known && l.Circuit.Solve(u.At).Current(id) > k.BatteryContinuousA.Value*(1+1e-6) {
			return id
		}
	}
	return ""
}

// unsureSag is the path of the battery resistance that a conductor's current
// rests on and the spec does not give: a draw of constant power grows as the
// battery sags.
func (l *Ledger) unsureSag(e *circuit.Edge) string {
	missing, known := l.Circuit.ResistanceKnown(e.From)
	if known {
		return ""
	}
	for id := range schema.Sorted(l.Spec.Controllers) {
		if !l.Circuit.SameNetwork(l.Circuit.Edge(id).From, e.From) {
			continue
		}
		for _, m := range schema.Sorted(l.Spec.Modes) {
			if draw := m.Draw[id]; draw != nil && draw.PowerW.Known {
				return missing
			}
		}
	}
	return ""
}

// withoutBrief takes the loads that are only briefly on in one go out of what a
// conductor carries continuously, and returns what it carries while they are on. The
// step has no time if there are none.
func (l *Ledger) withoutBrief(e *circuit.Edge, u capacity.Use, signed float64) (capacity.Use, capacity.DutyStep) {
	var brief, longest float64
	var path, what string
	s := l.Circuit.Solve(u.At)
	for _, id := range u.Mode.On {
		load := l.Spec.Loads[id]
		if load == nil || !load.OnS.Known || !l.feeds(e, id) {
			continue
		}
		brief += math.Abs(s.Current(id))
		if load.OnS.Value > longest {
			longest, path, what = load.OnS.Value, load.Path()+".on_s", id
		}
	}
	if longest == 0 || brief < 0.05*math.Abs(signed) {
		return u, capacity.DutyStep{}
	}
	step := capacity.DutyStep{Use: u, S: longest, Path: path, What: "mode " + u.Mode.ID + " with " + what + " on"}
	u.A = max(0, u.A-brief)
	return u, step
}

// feeds reports whether a conductor lies on the way to a load or back from it:
// whether its far end leads to the load without passing its near end.
func (l *Ledger) feeds(e *circuit.Edge, load string) bool {
	x := l.Circuit.Edge(load)
	for _, g := range l.guards[e.ID] {
		end := x.From
		if g.Side == circuit.Negative {
			end = x.To
		}
		if l.Circuit.Reaches(g.Far, end, func(y *circuit.Edge, enter circuit.Node) bool {
			return y.Conducts() && y.Other(enter) != g.Near
		}) {
			return true
		}
	}
	return false
}

// drive is what a controller may draw by its own limit, over what it draws in
// the mode in which it draws most, or where none draws feeds back most.
type drive struct {
	controller *schema.Controller
	drawn      float64 // A; negative where it feeds back
	with, idle *circuit.Solution
}

// drawn lists the peaks that the controllers' own limits allow, forth and back,
// as a conductor carries them: what it carries while they draw nothing, and its
// share of the peak. The share is that of the mode in which the controller draws most.
func (l *Ledger) drawn(e *circuit.Edge) []capacity.DutyStep {
	if !l.found {
		l.found, l.drives = true, l.findDrives()
	}
	var out []capacity.DutyStep
	for _, d := range l.drives {
		idle := d.idle.Current(e.ID)
		share := (d.with.Current(e.ID) - idle) / d.drawn
		const sag = 0.02 // what a branch beside changes as the battery sags
		if math.Abs(share) < sag {
			continue
		}
		k := d.controller
		for _, limit := range capacity.OwnLimits(k) {
			a := limit.A
			if limit.Feedback {
				a = -a
			}
			out = append(out, capacity.DutyStep{
				Use: capacity.Use{Mode: l.Spec.Modes[d.with.Case.Mode], A: math.Abs(idle + share*a), At: d.with.Case},
				S:   limit.S.Or(math.Inf(1)), Path: limit.SPath, What: limit.Of(k.ID),
			})
		}
	}
	return out
}

func (l *Ledger) findDrives() (out []drive) {
	for id, k := range schema.Sorted(l.Spec.Controllers) {
		if len(capacity.OwnLimits(k)) == 0 || k.Spare {
			continue
		}
		best := drive{controller: k}
		for mode, m := range schema.Sorted(l.Spec.Modes) {
			if m.Draw[id] == nil {
				continue
			}
			s := l.Circuit.Solve(circuit.Case{Mode: mode, Pack: circuit.Lowest})
			if s.Failed != "" {
				continue
			}
			if i := s.Current(id); i > best.drawn || best.drawn <= 0 && i < best.drawn {
				best.drawn, best.with = i, s
			}
		}
		if best.with == nil {
			continue // nothing tells which conductors feed it
		}
		idle := best.with.Case
		idle.NoDraw = true
		if best.idle = l.Circuit.Solve(idle); best.idle.Failed == "" {
			out = append(out, best)
		}
	}
	return out
}

// Beyond names a controller that a mode asks for more than it may draw continuously,
// though the mode has no duration; "" if there is none.
func (l *Ledger) Beyond(u capacity.Use) string {
	if !capacity.Lasting(l.Spec, u.Mode) {
		return ""
	}
	return l.beyond(u)
}

// MeanA is what a conductor carries continuously or in the mean of the cycle, in A;
// false where that is not known.
func (l *Ledger) MeanA(id string) (float64, bool) {
	if l.Circuit.Edge(id) == nil || slices.Contains(l.Spec.Broken(), "cycle") {
		return 0, false
	}
	f := l.flow(id)
	return f.mean().A, f.failed == nil && f.missing == ""
}

// Through is the greatest current in A, mode by mode, of a joint in which several
// conductors meet: half of what all of them carry.
func (l *Ledger) Through(v circuit.Node) (uses []capacity.Use, failed *circuit.Solution) {
	for id, m := range schema.Sorted(l.Spec.Modes) {
		u := capacity.Use{Mode: m, At: circuit.Case{Mode: id}}
		for _, k := range corners(id) {
			s := l.Circuit.Solve(k)
			var sum float64
			for _, e := range l.Circuit.EdgesAt(v) {
				if !e.IsConductor() {
					continue
				}
				if !s.Settled(e.ID) {
					return nil, s
				}
				sum += math.Abs(noticeable(s.Current(e.ID)))
			}
			if a := sum / 2; a > u.A*(1+1e-9) {
				u.A, u.At = a, k
			}
		}
		uses = append(uses, u)
	}
	return uses, nil
}
