package circuit

import (
	"fmt"
	"math"
	"slices"

	"example.org/headroom/schema"
)

// Transient is a run of time: what the circuit does from the moment in which it
// enters a case, with the capacitors of controllers and converter inputs. It
// begins switched off, every contact open and every capacitor empty, unless
// Charged. Coils and converters answer their voltages at once; a contactor with
// a delay or a voltage to wait for waits for it first. Inductance is left out,
// which errs to the side of more current.
type Transient struct {
	Case // what is closed and on from the beginning, and the corner; its Start does not matter

	// Charged begins from the state of rest of the case Before.
	Charged bool
	Before  Case
	ForS    float64 // when the run ends, s
	Until   string  // a contactor, by id, at whose closing the run ends earlier; "" for none
	AfterS  float64 // how long it goes on after that, s
	// AtOnce lists contactors, by id, whose declared delay is not believed, separated by
	// spaces: they answer their coils.
	AtOnce string
}

// Limits of a transient.
const (
	maxTransientSteps = 4000
	maxMoves          = 12 // of one contact or converter: more is a cycle without end
	// stepError is what the voltage of a capacitor may be off after one step, as a
	// share of the largest voltage around. What is off dies away as the capacitor
	// settles, so that a whole run is off by a few times as much.
	stepError = 4e-5
	// momentS is the conductance of a capacitor over no time at all, in S: it
	// holds its voltage to a millivolt at ten kiloamperes.
	momentS = 1e7
)

// The steps are those of a singly diagonally implicit Runge-Kutta method of
// three stages, of third order and L-stable, so that a contact behind a
// milliohm does not ring. Source: Alexander, SIAM J. Numer. Anal. 14 (1977),
// 1006. Each stage is the network with a conductance and a memory in place of
// each capacitor.
const (
	gamma = 0.43586652150845899941601945
	a21   = (1 - gamma) / 2
	b1    = -(6*gamma*gamma - 16*gamma + 1) / 4
	b2    = (6*gamma*gamma - 20*gamma + 5) / 4
	// The second-order formula over the first two stages, whose difference from the
	// step tells its error.
	e2 = (0.5 - gamma) / a21
	e1 = 1 - e2
)

// bank is a capacitor in a run.
type bank struct {
	place int // among the elements
	farad float64
	v     float64    // its voltage, V
	slope [3]float64 // at the stages of the step, V/s
}

// run is a transient in the making.
type run struct {
	*solver
	spec   Transient
	out    *Course
	banks  []bank
	t, end float64
	scale  float64   // the largest voltage around, V
	moves  []int     // by mover
	delays []float64 // by coil, s
	solved bool      // whether there are voltages yet
	// Of the step in the making: heat and square of the current of every edge.
	heat, square []float64
}

// Transient runs time over the network. What has been run before is returned again.
func (n *Network) Transient(t Transient) *Course {
	return n.courses.get(t, func() *Course { return newRun(n, t).run() })
}

func newRun(n *Network, t Transient) *run {
	t.Start = FromOpen
	r := &run{solver: newSolver(n), spec: t, end: t.ForS, heat: make([]float64, len(n.Edges)), square: make([]float64, len(n.Edges))}
	r.begin(t.Case)
	r.out = newCourse(n, t)
	r.moves = make([]int, len(r.movers))
	r.store, r.stored = make([]float64, len(r.elements)), make([]float64, len(r.elements))
	for j, e := range r.elements {
		if c := n.CapacitanceF(e.Edge); c.Known && c.Value > 0 && e.From != e.To {
			r.banks = append(r.banks, bank{place: j, farad: c.Value})
		}
	}
	r.waits, r.delays = make([]bool, len(r.coils)), make([]float64, len(r.coils))
	atOnce := splitIDs(t.AtOnce)
	for i := range r.coils {
		if id := r.coils[i].id; !slices.Contains(atOnce, id) {
			r.delays[i] = n.delayS(id)
			r.waits[i] = r.delays[i] > 0 || n.awaits(id) != nil
		}
	}
	return r
}

// delayS is the time in s that a contactor or timer waits once it is fed: of a timer
// the shortest that its tolerance leaves.
func (n *Network) delayS(id string) float64 {
	if t, ok := n.Spec.Timers[id]; ok {
		return TimerS(t)
	}
	if k, ok := n.Spec.Contactors[id]; ok {
		s, _ := k.Delay()
		return s.Or(0)
	}
	return 0
}

// awaits is the voltage that a contactor waits for, nil if it waits for none.
func (n *Network) awaits(id string) *schema.ClosesAt {
	k, ok := n.Spec.Contactors[id]
	if !ok {
		return nil
	}
	at, _ := k.Awaits()
	return at
}

// TimerTolerancePercent is how far the time of a timer may be off that states no
// tolerance: usual for an adjustable one (common practice).
const TimerTolerancePercent = 20

// TimerS is the shortest delay of a timer, in s: 0 of one that delays opening.
func TimerS(t *schema.Timer) float64 {
	if t.Function != "on-delay" {
		return 0
	}
	return t.SetS * (1 - t.TolerancePercent.Or(TimerTolerancePercent)/100)
}

// CapacitanceF is the capacitance across an edge, in F: of a controller or the
// input of a converter.
func (n *Network) CapacitanceF(e *Edge) schema.Number {
	var c schema.Number
	switch e.Kind {
	case ControllerEdge:
		c = n.Spec.Controllers[e.Part].CapacitanceUF
	case ConverterInput:
		c = n.Spec.Converters[e.Part].Input.CapacitanceUF
	}
	c.Value /= 1e6
	return c
}

// run goes on until the end, until the contactor it waits for has closed, or
// until something cannot be computed.
func (r *run) run() *Course {
	if r.spec.Charged && !r.charge() {
		return r.out
	}
	if !r.moment() {
		return r.out
	}
	h := r.firstStep()
	for range maxTransientSteps {
		if r.t >= r.end || len(r.out.Cycling)+len(r.out.Chatter) > 0 {
			return r.out
		}
		took, next, ok := r.step(min(h, r.untilNext()))
		switch {
		case !ok && took < 1e-13*(1+r.t):
			return r.fail("the network did not settle at %.4g s", r.t)
		case !ok:
			h = next
			continue
		}
		if len(r.moving()) > 0 {
			if !r.moment() {
				return r.out
			}
			next = r.firstStep()
		}
		h = next
	}
	return r.fail("the run did not come to its end in %d steps of time", maxTransientSteps)
}

func (r *run) fail(format string, args ...any) *Course {
	r.out.Failed = fmt.Sprintf(format, args...)
	return r.out
}

// charge takes capacitors and contacts from the state of rest before.
func (r *run) charge() bool {
	before := r.Solve(r.spec.Before)
	if before.Failed != "" || len(before.Chatter) > 0 {
		r.fail("the state before has no rest: %s", before.Failed)
		return false
	}
	for i := range r.banks {
		e := r.elements[r.banks[i].place]
		if before.Together(e.From, e.To) {
			r.banks[i].v = before.V(e.From) - before.V(e.To)
		}
	}
	copy(r.operated, before.operated)
	for i, on := range r.operated {
		r.waits[i] = r.waits[i] && !on
	}
	for i := range r.running {
		r.running[i] = slices.Contains(before.ConvertersOn, r.converters[i].id)
	}
	return true
}

// moment solves an instant, in which capacitors hold their voltages and contacts
// and converters move until they rest. It records the state, and what moved.
func (r *run) moment() bool {
	for i := range r.banks {
		r.store[r.banks[i].place], r.stored[r.banks[i].place] = momentS, r.banks[i].v
	}
	before := r.stateKey()
	var history []string // see stateKey; since the last contactor has ended its waiting
	for len(r.out.Chatter) == 0 {
		r.release()
		r.prepare()
		if err := r.iterate(); err != nil {
			r.fail("at %.4g s: %v", r.t, err)
			return false
		}
		r.solved = true
		r.scale = r.largest()
		key := r.stateKey()
		if at := slices.Index(history, key); at >= 0 {
			r.out.Chatter = r.alternating(history[at:])
		}
		history = append(history, key)
		if r.release() {
			history = nil
		} else if !r.moveContacts() {
			break
		}
	}
	after := r.stateKey()
	for _, i := range r.movers {
		if after[i] == before[i] {
			continue
		}
		id, on := r.moverID(i), after[i] == digit(true)
		r.out.Events = append(r.out.Events, Event{S: r.t, ID: id, On: on, sample: len(r.out.samples)})
		if r.moves[i]++; r.moves[i] >= maxMoves {
			r.out.Cycling = append(r.out.Cycling, id)
		}
		if id == r.spec.Until && on {
			r.end = min(r.end, r.t+r.spec.AfterS)
		}
	}
	r.record()
	for i := range r.banks {
		b := &r.banks[i]
		b.slope[2] = momentS * (r.across(b.place) - b.v) / b.farad
	}
	return true
}

// largest is the largest voltage across anything, at least 1 V.
func (r *run) largest() float64 {
	most := 1.0
	for _, e := range r.Edges {
		most = max(most, math.Abs(r.voltage(e)))
	}
	return most
}

// release ends the waiting of the contactors whose time or voltage has come, and
// reports whether there were any.
func (r *run) release() bool {
	released := false
	for i := range r.waits {
		if r.waits[i] && r.waitMargin(i) <= 0 {
			r.waits[i], released = false, true
		}
	}
	return released
}

// waitMargin is how far a contactor is from what it waits for: in V, or in s.
func (r *run) waitMargin(i int) float64 {
	id := r.coils[i].id
	at := r.awaits(id)
	if at == nil {
		return r.delays[i] - r.t
	}
	if !r.solved {
		return math.Inf(1)
	}
	across, full, ok := r.watched(id, at.Part)
	if !ok {
		return math.Inf(1)
	}
	return at.Percent/100*full - across
}

// watched is the voltage of the capacitors that a contactor watches, and what
// they would come to with its contact closed: what they lack stands across it.
func (r *run) watched(contactor, part string) (across, full float64, ok bool) {
	e, contact := r.byID[part], r.byID[contactor+".contact"]
	for id := range schema.Sorted(r.Spec.Controllers) {
		if part == "" && contact != nil && r.SameNetwork(r.byID[id].From, contact.From) {
			e = r.byID[id]
		}
	}
	if e == nil {
		e = r.byID[part+".in"]
	}
	if e == nil || contact == nil || r.together[contact.From] != r.together[e.From] {
		return 0, 0, false
	}
	across = r.voltage(e)
	full = across + math.Abs(r.voltage(contact))
	return across, full, full > 0
}

// untilNext is the time to the end of the run or the next delay that runs out.
func (r *run) untilNext() float64 {
	at := r.end
	for i, waiting := range r.waits {
		if waiting && r.delays[i] > r.t {
			at = min(at, r.delays[i])
		}
	}
	return at - r.t
}

// margins calls f with everything that is about to move as its voltage goes on.
func (r *run) margins(f func(mover int, margin float64)) {
	for i := range r.coils {
		if r.waits[i] {
			f(i, r.waitMargin(i))
		} else {
			f(i, r.coilMargin(i))
		}
	}
	for i := range r.converters {
		f(len(r.coils)+i, r.converterMargin(i))
	}
}

// moving lists what would move now.
func (r *run) moving() (ids []string) {
	r.margins(func(i int, margin float64) {
		if margin < 0 || i < len(r.coils) && r.waits[i] && margin <= 0 {
			ids = append(ids, r.moverID(i))
		}
	})
	return ids
}

// firstStep is a step over which no capacitor moves by more than a hundredth.
func (r *run) firstStep() float64 {
	var fastest float64
	for i := range r.banks {
		fastest = max(fastest, math.Abs(r.banks[i].slope[2]))
	}
	if fastest == 0 {
		return r.end
	}
	return min(r.end, r.scale/100/fastest)
}
