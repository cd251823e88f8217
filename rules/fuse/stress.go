package fuse

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// settledS is the time in s after which a fuse carries a current as if it
// always had: three times the heating time constant of a large link (common
// practice: some minutes). A mode that lasts longer is continuous.
const settledS = 600

// motorStartS is the time in s that a small motor takes to leave its stall
// current behind (common practice).
const motorStartS = 0.5

// stress is a current that flows through a fuse for a time.
type stress struct {
	mode     string // "" where it comes from no mode
	what     string // "in mode climb", "while blower starts"
	amperes  float64
	seconds  float64      // +Inf for a continuous current
	every    float64      // s from one beginning to the next; 0 if it is not repeated
	timePath string       // of the duration
	air      capacity.Air // at the fuse
	corner   string
	path     string // of the current, where it is declared and not solved
	// cycle is what the current is a step of, with what flows before and after it,
	// and step the place of it there; for a cycle that the spec declares, declared.
	cycle    []calc.Interval
	step     int
	declared bool
	// missing is the path of the duration, where the current is plainly a peak
	// but nothing says how long it lasts.
	missing string
}

// continuous reports whether the fuse is in thermal equilibrium.
func (x stress) continuous() bool { return x.missing == "" && x.seconds >= settledS }

// steps adds the current and its duration to the working.
func (x stress) steps(w *rules.Working) {
	if x.path != "" {
		w.Given("I", "current "+x.what, x.amperes, "A", x.path)
	} else {
		w.Solved("I", "current "+x.what, x.amperes, "A", x.corner)
	}
	switch {
	case math.IsInf(x.seconds, 1):
	case x.timePath == "":
		w.Default("t", "duration", x.seconds, "s", "of a small motor's start or a coil's pull-in, common practice")
	default:
		w.Given("t", "duration", x.seconds, "s", x.timePath)
	}
}

// explainEvery adds how often the current comes back to the working.
func (x stress) explainEvery(w *rules.Working) {
	if !x.declared {
		w.Given("T", "period", x.every, "s", "modes."+x.mode+".every_s")
		return
	}
	numbers := ""
	for i, step := range x.cycle {
		if i > 0 {
			numbers += " + "
		}
		numbers += rules.Term(step.S)
	}
	w.Calc("T", "length of the cycle", "sum of for_s", numbers, x.every, "s")
}

// stressList is what stresses returns.
type stressList struct {
	list      []stress
	unsettled *circuit.Solution
}

// stresses lists the currents that the modes, the controllers' own limits,
// pre-charging and starting motors send through a fuse. A solution that they
// cannot rely on is returned instead.
func (s *supply) stresses(f *schema.Fuse) ([]stress, *circuit.Solution) {
	known, ok := s.stressed[f.ID]
	if !ok {
		known.list, known.unsettled = s.findStresses(f)
		s.stressed[f.ID] = known
	}
	return known.list, known.unsettled
}

func (s *supply) findStresses(f *schema.Fuse) (list []stress, unsettled *circuit.Solution) {
	carried, modes, unsettled := demand.For(s.Pass).Carried(f.ID)
	if unsettled != nil {
		return nil, unsettled
	}
	for _, in := range modes {
		around := capacity.AirAt(s.Pass, &f.Base, in.Mode)
		for _, x := range s.inMode(in) {
			x.mode, x.air = in.Mode.ID, around
			list = append(list, x)
		}
	}
	list = append(list, s.peaks(f, carried.Own)...)
	list = append(list, s.pullsIn(f, demand.Greatest(carried.Continuous))...)
	s.sequence(list)
	return list, nil
}

// sequence tells each current what flows before and after it: the steps of the
// declared cycle are in their order; before any other flows the greatest of the
// continuous currents and the mean of the cycle.
func (s *supply) sequence(list []stress) {
	cycle := make([]calc.Interval, len(s.Spec.Cycle))
	var between float64
	for _, x := range list {
		switch {
		case x.declared:
			cycle[x.step] = calc.Interval{CurrentA: x.amperes, S: x.seconds}
		case x.continuous():
			between = max(between, x.amperes)
		}
	}
	if rms, _, err := calc.RMS(cycle); err == nil {
		between = max(between, rms)
	}
	for i := range list {
		x := &list[i]
		switch {
		case x.declared:
			x.cycle = cycle
		case x.missing == "" && !math.IsInf(x.seconds, 1):
			rest := math.Inf(1)
			if x.every > 0 {
				rest = max(0, x.every-x.seconds)
			}
			x.cycle = []calc.Interval{{CurrentA: x.amperes, S: x.seconds}, {CurrentA: min(between, x.amperes), S: rest}}
		}
	}
}

// inMode lists what a mode sends through a fuse: its current for as long as it
// lasts; of a mode without end, that of loads which are only briefly on apart.
func (s *supply) inMode(in demand.InMode) []stress {
	m := in.Mode
	x := stress{what: "in mode " + m.ID, amperes: in.A, seconds: math.Inf(1), corner: corner(in.Use)}
	switch {
	case demand.InCycle(s.Spec, m):
		return s.inCycle(x, m)
	case m.LastsS.Known:
		x.seconds, x.every, x.timePath = m.LastsS.Value, m.EveryS.Or(0), m.Path()+".lasts_s"
	case in.Drawer != "":
		x.missing = m.Path() + ".lasts_s"
	case in.Brief != "":
		steady := x
		steady.amperes, steady.corner = in.Steady.A, corner(in.Steady)
		x.what, x.seconds, x.timePath = x.what+", brief loads on", in.BriefS, in.BriefPath
		return []stress{steady, x}
	}
	return []stress{x}
}

// corner is the state of the supply in which a current flows; "" for none.
func corner(u demand.Use) string {
	if u.A == 0 {
		return ""
	}
	return u.At.String()
}

// inCycle lists the steps of the declared cycle that a mode makes up.
func (s *supply) inCycle(x stress, m *schema.Mode) (list []stress) {
	x.declared = true
	for i, step := range s.Spec.Cycle {
		x.every += step.ForS
		if step.Mode == m.ID {
			x.step, x.seconds, x.timePath = i, step.ForS, demand.StepPath(i)
			list = append(list, x)
		}
	}
	for i := range list {
		list[i].every = x.every
	}
	return list
}

// peaks lists the peaks of the controllers' own limits as the fuse carries them, and
// what pre-charging and starting motors send through a fuse that alone feeds them.
func (s *supply) peaks(f *schema.Fuse, own []demand.DutyStep) []stress {
	around := s.airAt(f)
	var list []stress
	for _, step := range own {
		x := stress{what: "in " + step.What, amperes: step.A, seconds: step.S, timePath: step.Path, corner: step.At.String(), air: around}
		if !step.Limited() {
			x.missing = step.Path
		}
		list = append(list, x)
	}
	list = append(list, s.precharges(f, around)...)
	for _, l := range s.motors {
		if id := l.ID; s.guardsTerminal(f.ID, id+".pos") {
			list = append(list, stress{what: "while " + id + " starts", amperes: l.StallA.Value, seconds: motorStartS,
				path: l.Path() + ".stall_A", air: around})
		}
	}
	return list
}

// pullInS is the time in s for which a coil with an economiser takes its pick-up current,
// where its data sheet does not say (common practice).
const pullInS = 0.3

// pullsIn is what coils with an economiser take as they pull in together, on top of the
// greatest continuous current.
func (s *supply) pullsIn(f *schema.Fuse, continuous demand.Use) []stress {
	x := stress{amperes: continuous.A, corner: corner(continuous), air: s.airAt(f)}
	var names []string
	take := func(id, path string, coil *schema.Coil) {
		if coil.Drive != "economiser" || !coil.PickupA.Known || !s.guardsTerminal(f.ID, id+".coil_pos") {
			return
		}
		names = append(names, id)
		x.amperes += max(0, coil.PickupA.Value-coil.HoldA.Or(0))
		if t := coil.PickupS.Or(pullInS); t > x.seconds {
			x.seconds, x.timePath = t, ""
			if coil.PickupS.Known {
				x.timePath = path + ".coil.pickup_s"
			}
		}
	}
	for id, k := range schema.Sorted(s.Spec.Contactors) {
		take(id, k.Path(), &k.Coil)
	}
	for id, k := range schema.Sorted(s.Spec.Relays) {
		take(id, k.Path(), &k.Coil)
	}
	if len(names) == 0 {
		return nil
	}
	x.what = "while " + rules.And(names) + " pull in"
	if len(names) == 1 {
		x.what = "while " + names[0] + " pulls in"
	}
	return []stress{x}
}

// precharges lists what pre-charging sends through a fuse: at most V_max/R, for
// as long as the contactor waits.
func (s *supply) precharges(f *schema.Fuse, around capacity.Air) []stress {
	var list []stress
	for id, r := range schema.Sorted(s.Spec.Resistors) {
		if r.Role != "precharge" || !s.guardsTerminal(f.ID, id+".a") && !s.guardsTerminal(f.ID, id+".b") {
			continue
		}
		var highest float64
		for _, source := range sources(s.feeds(f.ID)) {
			highest = max(highest, source.StringV)
		}
		x := stress{what: "while " + id + " pre-charges", amperes: highest / r.ResistanceOhm, seconds: math.Inf(1), air: around,
			corner: "V_max / R, at the first instant"}
		for _, k := range schema.Sorted(s.Spec.Contactors) {
			if delay, path := k.Delay(); delay.Known {
				x.seconds, x.timePath = delay.Value, path
			}
		}
		list = append(list, x)
	}
	return list
}

// airAt is the hottest air around a fuse.
func (s *supply) airAt(f *schema.Fuse) capacity.Air { return capacity.AirAt(s.Pass, &f.Base, nil) }

// heatFactor is the derating of a fuse for the ambient: 1 below the
// reference ambient of the class.
func heatFactor(f *schema.Fuse, a capacity.Air) float64 {
	if l, ok := calc.FuseClass(f.Class).Loading(); ok {
		return l.Derating(a.C()).Value
	}
	return 1
}

// heat is heatFactor with its steps.
func heat(w *rules.Working, f *schema.Fuse, a capacity.Air) float64 {
	l, ok := calc.FuseClass(f.Class).Loading()
	derating := l.Derating(a.C())
	if !ok || derating.Value == 1 {
		return 1
	}
	a.Explain(w)
	return w.Line("f_T", fmt.Sprintf("derating for the ambient: %s %% for each K above %s C",
		rules.Figure(100*l.DeratingPerK), rules.Figure(l.ReferenceC)), derating)
}

// continuousLimit is the current that a fuse withstands continuously, 0 for a
// class without a published limit.
func continuousLimit(f *schema.Fuse, a capacity.Air) float64 {
	l, _ := calc.FuseClass(f.Class).Loading()
	return l.ContinuousFactor * heatFactor(f, a) * f.RatedA
}

// continuousSteps is continuousLimit with its steps.
func continuousSteps(w *rules.Working, f *schema.Fuse, a capacity.Air) float64 {
	l, ok := calc.FuseClass(f.Class).Loading()
	if !ok {
		return 0
	}
	n := w.Given("I_n", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
	c := w.Standard("f_c", "share of the rating for continuous current, class "+f.Class, l.ContinuousFactor, "", l.Source)
	t := heat(w, f, a)
	return w.Calc("I_c", "continuous limit of "+f.ID, "f_c f_T I_n",
		rules.Term(c)+" * "+rules.Term(t)+" * "+rules.Term(n), c*t*n, "A")
}

// inPhase reports a check as not made on a fuse between a controller and a motor, whose
// current no mode gives, and says whether it did.
func (s *supply) inPhase(c *rules.Check, f *schema.Fuse) bool {
	return demand.For(s.Pass).InPhase(c, f.ID, s.Circuit.EdgesOf(f.ID))
}
