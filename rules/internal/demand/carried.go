package demand

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Carried is what an edge carries: over the modes, the cycles that they make up, and
// peaks that may come at any time.
type Carried struct {
	// Own are the currents of the controllers' own limits as the edge carries them,
	// of +Inf seconds where nothing says for how long.
	Own []DutyStep

	// Continuous is what flows in the modes that go on continuously, without loads
	// that are only briefly on, and Cycles are the cycles of currents: see [Cycles].
	Continuous []Use
	Cycles     []DutyCycle
	// Peaks are currents that may come at any time, each after what flows between.
	Peaks []DutyCycle
	// Endless is the greatest mode without a duration whose draw its controller,
	// Drawer, cannot keep up: neither continuous nor known to be short.
	Endless Use
	Drawer  string
	// Unlimited is the greatest of the own limits without a time.
	Unlimited DutyStep

	failed  *circuit.Solution
	missing string  // path of the battery resistance that a current rests on
	airC    float64 // the vehicle's hottest
}

// InMode is what an edge carries in one mode.
type InMode struct {
	Use        // with all on that the mode turns on
	Steady Use // without the loads that are only briefly on; the same without any
	// Brief names the load that is on for the longest time of those, BriefS, by the
	// spec's BriefPath; "" without any.
	Brief, BriefPath string
	BriefS           float64
	// Drawer is a controller that cannot keep its draw up although nothing ends the
	// mode; see [Demands.Overdrawn].
	Drawer string
}

// Of is what an edge carries. It reports the check as not made, and returns nil,
// where that is not known; see [Demands.Known].
func (d *Demands) Of(c *rules.Check, id string) *Carried {
	if CycleUnknown(c, d.Spec) {
		return nil
	}
	x := d.of(id)
	if x.failed != nil && c.Unsettled(x.failed, id) || !d.known(c, id, x.missing) {
		return nil
	}
	return x
}

// Carried is what an edge carries, and that by mode, which is not kept; or a solution
// that this cannot rest on.
func (d *Demands) Carried(id string) (x *Carried, modes []InMode, failed *circuit.Solution) {
	modes = make([]InMode, 0, len(d.Spec.Modes))
	x = d.findCarried(d.Circuit.Edge(id), func(in InMode) { modes = append(modes, in) })
	return x, modes, x.failed
}

// of finds what an edge carries, once.
func (d *Demands) of(id string) *Carried {
	x, ok := d.carried[id]
	if !ok {
		x = d.findCarried(d.Circuit.Edge(id), func(InMode) {})
		d.carried[id] = x
	}
	return x
}

// findCarried finds what an edge carries, and calls each with that in each mode.
func (d *Demands) findCarried(e *circuit.Edge, each func(InMode)) *Carried {
	x := &Carried{airC: d.Spec.Vehicle.AmbientC.Max}
	d.uses = d.uses[:0]
	var brief []DutyStep
	for _, m := range d.states() {
		in, failed := d.inMode(Element{e}, m)
		if failed != nil {
			return &Carried{failed: failed}
		}
		each(in)
		if in.Drawer != "" {
			if in.A > x.Endless.A && !circuit.Implied(m.Mode) { // it is told of the declared mode
				x.Endless, x.Drawer = in.Use, in.Drawer
			}
			continue
		}
		d.uses = append(d.uses, in.Steady)
		if in.Brief != "" {
			brief = append(brief, in.briefStep())
		}
	}
	x.missing = d.missingResistance(Element{e})
	x.Continuous, x.Cycles = Cycles(d.Spec, d.uses)
	x.Own = d.ownSteps(Element{e})
	for _, step := range append(brief, x.Own...) {
		if math.IsInf(step.S, 1) {
			if step.A > x.Unlimited.A {
				x.Unlimited = step
			}
			continue
		}
		x.Peaks = append(x.Peaks, Before(step, x.Continuous, x.Cycles))
	}
	return x
}

// briefStep is the mode with the loads on that are on for a time.
func (in InMode) briefStep() DutyStep {
	return DutyStep{Use: in.Use, S: in.BriefS, Path: in.BriefPath, What: "mode " + in.Mode.ID + " with " + in.Brief + " on"}
}

func (d *Demands) inMode(e Element, m modeStates) (InMode, *circuit.Solution) {
	u, failed := greatest(e, m)
	if failed != nil {
		return InMode{}, failed
	}
	in := InMode{Use: u, Steady: u, Drawer: d.Overdrawn(e, u)}
	if Continuous(d.Spec, m.Mode) && in.Drawer == "" {
		d.withoutBrief(&in, e, m)
	}
	return in, nil
}

// withoutBrief takes the loads that are only briefly on in one go out of what an
// edge carries steadily, where they are a part of it that counts.
func (d *Demands) withoutBrief(in *InMode, e Element, m modeStates) {
	if len(m.brief) == 0 || in.A == 0 {
		return
	}
	ids := make([]string, len(m.brief))
	for i, load := range m.brief {
		ids[i] = load.ID
	}
	corners := CornersOf(d.Spec, m.Mode)
	for i := range corners {
		corners[i] = corners[i].Off(ids...)
	}
	steady, failed := greatest(e, modeStates{Mode: m.Mode, corners: d.solve(corners)})
	const counts = 0.05 // of the current
	if failed != nil || in.A-steady.A < counts*in.A {
		return
	}
	with := d.Circuit.Solve(in.At)
	for _, load := range m.brief {
		without := d.Circuit.Solve(in.At.Off(load.ID))
		if math.Abs(with.Current(in.Edge.ID))-math.Abs(without.Current(in.Edge.ID)) < sag*math.Abs(with.Current(load.ID)) {
			continue // it is fed past the edge
		}
		if load.OnS.Value > in.BriefS {
			in.Brief, in.BriefS, in.BriefPath = load.ID, load.OnS.Value, load.Path()+".on_s"
		}
	}
	if in.Brief != "" {
		in.Steady = steady
	}
}

// ownLimits is a controller with limits of its own, and the case in which it draws
// most or, where no mode lets it draw, feeds back most. Where it does neither in any
// mode, it is every switch closed, and drawn is false.
type ownLimits struct {
	*schema.Controller
	list  []OwnLimit
	at    circuit.Case
	drawn bool
}

// ownSteps lists the peaks that the controllers' own limits allow, forth and back,
// as an element carries them: what it carries without that controller, and its share
// of the peak. The share is that of the mode in which the controller draws most: of
// packs in parallel each takes its own. Where several controllers share the element,
// their greatest draws may come at once.
func (d *Demands) ownSteps(e Element) []DutyStep {
	if !d.ownFound {
		d.own, d.ownFound = d.findOwnLimits(), true
	}
	var out []DutyStep
	var sharing []sharedLimit
	for _, k := range d.own {
		edge, share, without := d.greatestShare(e, k)
		if math.Abs(share) < sag {
			continue
		}
		sharing = append(sharing, sharedLimit{k, edge, share})
		for _, limit := range k.list {
			a := limit.A
			if limit.Feedback {
				a = -a
			}
			out = append(out, DutyStep{
				Use: Use{Mode: d.Circuit.Mode(k.at.Mode), A: math.Abs(without + share*a), Against: without+share*a < 0, Edge: edge, At: k.at},
				S:   limit.S.Or(math.Inf(1)), Path: limit.SPath, What: limit.Of(k.ID),
				AnyTime: true,
			})
		}
	}
	if len(sharing) > 1 {
		out = append(out, d.together(sharing, out)...)
	}
	return out
}

// sharedLimit is a controller with the share of its current that an edge carries.
type sharedLimit struct {
	ownLimits
	edge  *circuit.Edge
	share float64
}

// together lists what several controllers may draw at once through an element, for as
// long as each of their peaks lasts: those whose own is over draw on continuously.
func (d *Demands) together(sharing []sharedLimit, peaks []DutyStep) (out []DutyStep) {
	var names []string
	for _, k := range sharing {
		names = append(names, k.ID)
	}
	seen := map[float64]bool{}
	for _, step := range peaks {
		if seen[step.S] {
			continue
		}
		seen[step.S] = true
		idle := step.At
		idle.NoDraw = true
		sum := d.Circuit.Solve(idle).Current(step.Edge.ID)
		for _, k := range sharing {
			sum += k.share * d.limitFor(k.ownLimits, step.S)
		}
		step.A, step.Against, step.What = math.Abs(sum), sum < 0, "the battery-side peaks of "+rules.And(names)+" together"
		out = append(out, step)
	}
	return out
}

// limitFor is [LimitFor], but of a controller that does not say what it may draw beyond
// the time of its peak what it draws in its mode.
func (d *Demands) limitFor(k ownLimits, s float64) float64 {
	if k.drawn && !k.BatteryContinuousA.Known && k.PeakS.Known && k.PeakS.Value < s {
		return d.Circuit.Solve(k.at).Current(k.ID)
	}
	a, _ := LimitFor(k.Controller, s)
	return a
}

// greatestShare is the edge of an element that carries the greatest share of a
// controller's current, with what it carries without it in A.
func (d *Demands) greatestShare(e Element, k ownLimits) (edge *circuit.Edge, share, without float64) {
	for _, x := range e {
		if !k.drawn {
			// What feeds it alone carries all of it, in the direction of what it has.
			closed := d.Circuit.Solve(k.at)
			if closed.Failed == "" && slices.Contains(d.Circuit.Behind(closed, x), d.Circuit.Edge(k.ID)) {
				return x, 1, math.Abs(closed.Current(x.ID))
			}
			continue
		}
		// Beside another that regulates its power: that draws less without this one.
		if s, _, ok := d.share(x, k.ID, k.at.Off(d.otherDraws(k)...)); ok && (edge == nil || math.Abs(s) > math.Abs(share)) {
			edge, share, without = x, s, d.Circuit.Solve(k.at.Off(k.ID)).Current(x.ID)
		}
	}
	return edge, share, without
}

// otherDraws lists the other controllers of the mode in which one draws most.
func (d *Demands) otherDraws(k ownLimits) (ids []string) {
	for id := range d.Circuit.Mode(k.at.Mode).Draw {
		if id != k.ID {
			ids = append(ids, id)
		}
	}
	return ids
}

func (d *Demands) findOwnLimits() (out []ownLimits) {
	for id, k := range schema.Sorted(d.Spec.Controllers) {
		list := OwnLimits(k)
		if len(list) == 0 && !k.BatteryContinuousA.Known || k.Spare {
			continue
		}
		var most float64 // A; negative where it feeds back
		x := ownLimits{Controller: k, list: list}
		for _, mode := range d.Circuit.States() {
			if d.Circuit.Mode(mode).Draw[id] == nil {
				continue
			}
			at := circuit.Case{Mode: mode, Pack: circuit.Lowest}
			s := d.Circuit.Solve(at)
			if s.Failed != "" {
				continue
			}
			if i := s.Current(id); i > most*(1+sameA) || most <= 0 && i < most {
				most, x.at = i, at
			}
		}
		if x.drawn = most != 0; !x.drawn {
			x.at = circuit.Case{AllClosed: true, NoDraw: true, NoLoads: true}
		}
		out = append(out, x)
	}
	return out
}

// MeanA is what an edge carries continuously or in the mean of the cycle, in A;
// false where that is not known.
func (d *Demands) MeanA(id string) (float64, bool) {
	x := d.Quiet(id)
	if x == nil {
		return 0, false
	}
	return x.Mean().A, true
}

// Quiet is [Demands.Of] without a check: nil where what an edge carries is not known.
func (d *Demands) Quiet(id string) *Carried {
	if d.Circuit.Edge(id) == nil || slices.Contains(d.Spec.Broken(), "cycle") {
		return nil
	}
	x := d.of(id)
	if x.failed != nil || x.missing != "" {
		return nil
	}
	return x
}

// Mean is what heats a part in the long run.
type Mean struct {
	Use
	Cycle DutyCycle // of which it is the root mean square; no steps if it flows continuously
}

// AirMode is the mode in the air of which it flows: of a cycle the hottest of its steps;
// nil for the hottest of the vehicle's range.
func (m Mean) AirMode(vehicleC float64) *schema.Mode {
	if m.Cycle.Steps == nil {
		return m.Mode
	}
	hottest := m.Cycle.Steps[0]
	for _, s := range m.Cycle.Steps {
		if s.AirMode() == nil {
			return nil
		}
		if airC(s.Use, vehicleC) > airC(hottest.Use, vehicleC) {
			hottest = s
		}
	}
	return hottest.Mode
}

// Means lists what flows continuously and the root mean squares of the cycles.
func (x *Carried) Means() []Mean {
	means := make([]Mean, 0, len(x.Continuous)+len(x.Cycles))
	for _, u := range x.Continuous {
		means = append(means, Mean{Use: u})
	}
	for _, t := range x.Cycles {
		if !math.IsInf(t.LengthS(), 1) {
			m := Mean{Use: t.Greatest().Use, Cycle: t}
			m.A = t.RMS()
			means = append(means, m)
		}
	}
	return means
}

// Mean is the greatest of what flows continuously and of the root mean squares.
func (x *Carried) Mean() (worst Mean) {
	for _, m := range x.Means() {
		if worst.Mode == nil || m.A > worst.A*(1+sameA) {
			worst = m
		}
	}
	return worst
}

// Peaking lists the cycles that have a step above what flows continuously, or in hotter air.
func (x *Carried) Peaking() (out []DutyCycle) {
	most := Greatest(x.Continuous)
	above := func(s DutyStep) bool {
		return s.A > most.A*(1+sameA) || s.A > LeastA && airC(s.Use, x.airC) > airC(most, x.airC)
	}
	for _, list := range [][]DutyCycle{x.Cycles, x.Peaks} {
		for _, t := range list {
			if slices.ContainsFunc(t.Steps, above) {
				out = append(out, t)
			}
		}
	}
	return out
}
