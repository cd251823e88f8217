package demand

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// DutyCycle is a cycle of currents that is repeated without end: the drive that the
// spec declares, or a mode that lasts and comes back with what flows between.
type DutyCycle struct {
	Steps    []DutyStep
	Declared bool // it is the cycle that the spec declares
}

// DutyStep is one current of a turn and the path of its duration.
type DutyStep struct {
	Use
	S     float64 // +Inf: so long that nothing before matters
	Path  string  // of the duration; "" for the time between, in which the base flows
	What  string  // what draws it, where no mode does: "the peak of drive"
	APath string  // of the current, where it is declared and not solved
	// AnyTime says that it may come in any mode, in the air of that, and not only in the
	// mode for which it is worked out.
	AnyTime bool
}

// AirMode is the mode in the air of which a step flows; nil for the hottest
// of the vehicle's range.
func (s DutyStep) AirMode() *schema.Mode {
	if s.AnyTime {
		return nil
	}
	return s.Mode
}

// Duty is what a part carries continuously, or what a cycle of currents amounts to.
type Duty struct {
	Use         // the mode continuously, or the hottest step of the cycle
	EqA float64 // the steady current that heats as much
	// Steps are those of the cycle; there are none for a mode continuously.
	Steps []DutyStep
	Cycle bool   // the cycle is the one that the spec declares
	Phase *Phase // the current is that of a motor's phase, and of no mode
}

// Continuous reports whether a mode goes on continuously: it has no duration and is no
// step of the declared cycle.
func Continuous(spec *schema.Spec, m *schema.Mode) bool {
	return !m.LastsS.Known && !slices.ContainsFunc(spec.Cycle, func(s schema.CycleStep) bool { return s.Mode == m.ID })
}

// Longest is how long a mode lasts in one go, in s, and the path of it: its own
// duration or its longest step of the cycle; 0 for a mode that goes on continuously.
func Longest(spec *schema.Spec, m *schema.Mode) (s float64, path string) {
	if m.LastsS.Known {
		s, path = m.LastsS.Value, m.Path()+".lasts_s"
	}
	for i, step := range spec.Cycle {
		if step.Mode == m.ID && step.ForS > s {
			s, path = step.ForS, StepPath(i)
		}
	}
	return s, path
}

// StepPath is the path of the duration of a step of the declared cycle.
func StepPath(i int) string { return "cycle." + strconv.Itoa(i) + ".for_s" }

// CycleUnknown reports a check as not made when the declared cycle, or a mode that
// it goes through, holds a mistake, so that it is not known what goes on for how
// long; and says whether it did.
func CycleUnknown(c *rules.Check, spec *schema.Spec) bool {
	path := ""
	if slices.Contains(spec.Broken(), "cycle") {
		path = "cycle"
	}
	for _, step := range spec.Cycle {
		if path == "" && spec.Modes[step.Mode] == nil {
			path = "modes." + step.Mode
		}
	}
	if path == "" {
		return false
	}
	c.NotChecked(path, "%s holds a mistake, so the durations of the modes are not known", path)
	return true
}

// Cycles tells the modes that go on continuously from the cycles of currents: the
// declared one, and every other mode with a duration, which returns after
// every_s. Between the cycles of such a mode flows what flows continuously and is
// greatest, or what the declared cycle amounts to; without every_s that has long
// flowed before. Modes of the declared cycle count there alone. Of what flows
// continuously only those are listed that are greater than all before, or flow in hotter
// air: there are as many as there are modes, and no other can be the gravest.
func Cycles(spec *schema.Spec, uses []Use) (continuous []Use, cycles []DutyCycle) {
	between, vehicleC := DutyStep{S: math.Inf(1)}, spec.Vehicle.AmbientC.Max
	for _, u := range uses {
		switch {
		case !Continuous(spec, u.Mode):
		case u.A > between.A || between.Mode == nil:
			continuous = append(continuous, u)
			between.Use = u
		case airC(u, vehicleC) > airC(between.Use, vehicleC) && !slices.ContainsFunc(continuous, func(v Use) bool { return v.A >= u.A && airC(v, vehicleC) >= airC(u, vehicleC) }):
			continuous = append(continuous, u)
		}
	}
	if steps := declared(spec, uses); steps != nil {
		t := DutyCycle{Steps: steps, Declared: true}
		cycles = append(cycles, t)
		if rms := t.RMS(); rms > between.A {
			between.Use, between.What = Use{A: rms}, "the r.m.s. current of the cycle"
		}
	}
	for _, u := range uses {
		if !u.Mode.LastsS.Known || InCycle(spec, u.Mode) || u.A <= between.A && (len(continuous) > 0 || len(cycles) > 0) && airC(u, vehicleC) <= airC(between.Use, vehicleC) {
			continue // what flows between heats more
		}
		step := DutyStep{Use: u, S: u.Mode.LastsS.Value, Path: u.Mode.Path() + ".lasts_s"}
		rest := between
		if every := u.Mode.EveryS; every.Known {
			if rest.S = every.Value - step.S; rest.S <= 0 {
				cycles = append(cycles, DutyCycle{Steps: []DutyStep{step}})
				continue
			}
		}
		cycles = append(cycles, DutyCycle{Steps: []DutyStep{step, rest}})
	}
	return continuous, cycles
}

// HottestAir is the mode with the hottest air of those in which a current flows that counts
// beside the greatest, nil where none does: a tenth of it heats by a hundredth.
func HottestAir(uses []Use, vehicleC float64) (hottest *schema.Mode) {
	const counts = 0.1
	least := max(LeastA, counts*Greatest(uses).A)
	for _, u := range uses {
		if u.A >= least && u.Mode != nil && (hottest == nil || airC(u, vehicleC) > hottest.AmbientC.Or(vehicleC)) {
			hottest = u.Mode
		}
	}
	return hottest
}

// airC is the hottest air in which a use flows, in C: what comes of several modes counts
// as in one that states none, which is the vehicle's hottest.
func airC(u Use, vehicleC float64) float64 {
	if u.Mode == nil {
		return vehicleC
	}
	return u.Mode.AmbientC.Or(vehicleC)
}

// Before puts a step that may come at any time after what flows between cycles,
// of which continuous and cycles are those of [Cycles].
func Before(step DutyStep, continuous []Use, cycles []DutyCycle) DutyCycle {
	rest := DutyStep{S: math.Inf(1)}
	for _, u := range continuous {
		if u.A > rest.A || rest.Mode == nil {
			rest.Use = u
		}
	}
	for _, t := range cycles {
		if rms := t.RMS(); t.Declared && rms > rest.A {
			rest.Use, rest.What = Use{A: rms}, "the r.m.s. current of the cycle"
		}
	}
	return DutyCycle{Steps: []DutyStep{step, rest}}
}

// Intervals are the steps as currents and times.
func (t DutyCycle) Intervals() []calc.Interval {
	out := make([]calc.Interval, len(t.Steps))
	for i, s := range t.Steps {
		out[i] = calc.Interval{CurrentA: s.A, S: s.S}
	}
	return out
}

// LengthS is how long one turn takes, in s.
func (t DutyCycle) LengthS() (s float64) {
	for _, step := range t.Steps {
		s += step.S
	}
	return s
}

// RMS is the root mean square of a turn in A; where a step goes on without end,
// the current of that step.
func (t DutyCycle) RMS() float64 { return calc.LongRunA(t.Intervals()) }

// Hottest finds, of the modes and the declared cycle, what heats a part with a
// time constant in s most; see [Cycles]. It is false without any mode.
func Hottest(spec *schema.Spec, uses []Use, tauS float64) (hottest Duty, ok bool) {
	continuous, cycles := Cycles(spec, uses)
	take := func(d Duty) {
		// Of equals the first counts, whatever the last digits say.
		if !ok || d.EqA > hottest.EqA*(1+1e-9) {
			hottest, ok = d, true
		}
	}
	for _, u := range continuous {
		take(Duty{Use: u, EqA: u.A})
	}
	for _, t := range cycles {
		if d, valid := t.duty(tauS); valid {
			take(d)
		}
	}
	return hottest, ok
}

// duty is the hottest end of a step in the periodic state of a turn. Source: IEC
// 60255-149.
func (t DutyCycle) duty(tauS float64) (Duty, bool) {
	held, err := calc.PeriodicHeating(t.Intervals(), tauS)
	if err != nil {
		return Duty{}, false
	}
	d := Duty{Steps: t.Steps, Cycle: t.Declared}
	for i, s := range t.Steps {
		if d.Mode == nil && s.Mode != nil || held[i] > d.EqA {
			d.EqA, d.Use = max(d.EqA, held[i]), s.Use
		}
	}
	return d, true
}

// InCycle reports whether a mode is a step of the declared cycle.
func InCycle(spec *schema.Spec, m *schema.Mode) bool {
	return slices.ContainsFunc(spec.Cycle, func(s schema.CycleStep) bool { return s.Mode == m.ID })
}

// declared puts the currents of the modes into the declared cycle.
func declared(spec *schema.Spec, uses []Use) (steps []DutyStep) {
	for i, s := range spec.Cycle {
		at := slices.IndexFunc(uses, func(u Use) bool { return u.Mode.ID == s.Mode })
		if at < 0 {
			return nil
		}
		steps = append(steps, DutyStep{Use: uses[at], S: s.ForS, Path: StepPath(i)})
	}
	return steps
}

// Explain adds how the duty comes about to the working: the current continuously, or
// the steps of the cycle and what they amount to.
func (d Duty) Explain(w *rules.Working, part string, tauS float64, tauSource string) {
	if d.Phase != nil {
		d.explainPhase(w, part, tauS, tauSource)
		return
	}
	if d.Steps == nil {
		w.Solved("I", "current of "+part+" in mode "+d.Mode.ID, d.A, "A", d.At.String())
		return
	}
	t := DutyCycle{Steps: d.Steps}
	t.Explain(w, part)
	w.Default("tau", "time constant of the heating of "+part, tauS, "s", tauSource)
	if held, err := calc.HottestHeld(t.Intervals(), tauS); err == nil { // it gave the duty
		w.Line("I_eq", "equivalent continuous current: it heats as much as the cycle does at the end of its hottest step", held)
	}
}

// Explain adds the steps of a turn to the working, and returns each as text.
func (t DutyCycle) Explain(w *rules.Working, part string) (terms []string) {
	for i, s := range t.Steps {
		s.Explain(w, part, strconv.Itoa(i+1))
		terms = append(terms, s.term())
	}
	return terms
}

// term is a step as a formula has it.
func (s DutyStep) term() string {
	if math.IsInf(s.S, 1) {
		return rules.Term(s.A) + " A before"
	}
	return fmt.Sprintf("%s A for %s s", rules.Term(s.A), rules.Term(s.S))
}

// Name says what draws the current of a step.
func (s DutyStep) Name() string {
	switch {
	case s.What != "":
		return s.What
	case s.Mode != nil:
		return "mode " + s.Mode.ID
	}
	return "nothing"
}

// Explain adds the current of a step and its duration to a working, with k as the
// index of their symbols.
func (s DutyStep) Explain(w *rules.Working, part, k string) {
	switch {
	case s.Path == "" && s.What == "":
		w.Solved("I_"+k, "current between: that of "+s.Name()+", the highest continuous one", s.A, "A", "as above, over those modes")
	case s.Path == "":
		w.Solved("I_"+k, "current between: "+s.What, s.A, "A", "as above, over its steps")
	case s.What == "":
		w.Solved("I_"+k, "current of "+part+" in mode "+s.Mode.ID, s.A, "A", s.At.String())
	case s.APath != "":
		w.Given("I_"+k, s.What, s.A, "A", s.APath)
	default:
		w.Solved("I_"+k, "current of "+part+" at "+s.What, s.A, "A", s.At.String())
	}
	if s.Path != "" {
		w.Given("t_"+k, "duration of that step", s.S, "s", s.Path)
	}
}

// Greatest is the step of a turn with the greatest current.
func (t DutyCycle) Greatest() (step DutyStep) {
	for i, s := range t.Steps {
		if i == 0 || s.A > step.A {
			step = s
		}
	}
	return step
}
