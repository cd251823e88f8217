package charging

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Attempt is one pre-charge: a contactor that closes on capacitors which a way
// around it, through resistors, charges before.
type Attempt struct {
	Closing
	Contactor *schema.Contactor
	Resistors []*schema.Resistor
	Mode      string // in which the vehicle is started
	// Missing is the path of what must be known and is not, "" if all is.
	Missing string
	// Never says that no mode energises the contactor.
	Never bool

	// Premise is what its delay rests on.
	Premise Premise
	// keys lists the poles that are still open during the pre-charge: of a contactor
	// that closes as soon as a hand closes them, so that its delay is one between the
	// disconnect and the key.
	keys    string
	charge  calc.Charging
	settled *circuit.Solution // with the pack full and the contactor waiting
}

// Attempts lists the pre-charges of a vehicle, by the id of their contactor.
func Attempts(p *rules.Pass) []Attempt {
	return rules.Shared(p, "pre-charges", func() []Attempt {
		var out []Attempt
		for id, k := range schema.Sorted(p.Spec.Contactors) {
			if a, ok := AttemptOf(p, Of(p, p.Circuit.Edge(id+".contact"))); ok && !k.Spare {
				out = append(out, a)
			}
		}
		return out
	})
}

// AttemptOf is the pre-charge of a contactor; not ok where no resistor leads
// around it, or it connects no capacitors directly.
func AttemptOf(p *rules.Pass, closing Closing) (a Attempt, ok bool) {
	k, isContactor := p.Spec.Contactors[closing.Contact.Part]
	a = Attempt{Closing: closing, Contactor: k, Resistors: closing.Resistors(p)}
	if !isContactor || closing.Resisted || len(closing.Capacitors) == 0 || len(a.Resistors) == 0 {
		return Attempt{}, false
	}
	var bleedS float64
	for _, e := range closing.Capacitors {
		c, path := Capacitance(p, e)
		if !c.Known && a.Missing == "" {
			a.Missing = path
		}
		a.charge.CapacitanceF += c.Or(0) / 1e6
		if controller, ok := p.Spec.Controllers[e.Part]; ok && controller.BleedKOhm.Known {
			bleedS += 1 / (1000 * controller.BleedKOhm.Value)
		}
	}
	for _, r := range a.Resistors {
		a.charge.SeriesOhm += r.ResistanceOhm
	}
	if bleedS > 0 {
		a.charge.BleedOhm = 1 / bleedS
	}
	a.start(p)
	return a, true
}

// start finds the mode in which the vehicle is started: of those that energise
// the contactor's coil the one without a draw and with the least switched on.
func (a *Attempt) start(p *rules.Pass) {
	var best *schema.Mode
	weight := func(m *schema.Mode) int {
		w := 1000*len(m.Draw) + len(m.On)
		if m.LastsS.Known {
			w += 500
		}
		return w
	}
	for _, mode := range p.Circuit.States() {
		m := p.Circuit.Mode(mode)
		if circuit.Implied(m) && best != nil {
			break // only for a contactor that no declared mode energises
		}
		if best != nil && weight(m) >= weight(best) {
			continue
		}
		if a.Energised(p, mode, "") {
			best = m
		}
	}
	if best == nil {
		a.Never = true
		return
	}
	a.Mode = best.ID
	a.settled = p.Circuit.Solve(a.corner(circuit.Highest, true))
	if len(a.Capacitors) > 0 && a.settled.Failed == "" {
		a.Premise = a.found(p)
	}
	if a.byHand() {
		a.keys = poles(p.Spec.Switches[a.Premise.Device])
		a.settled = p.Circuit.Solve(a.corner(circuit.Highest, true))
	}
}

// byHand reports whether the contactor closes as soon as a hand closes the switch of
// its coil, on capacitors that the disconnect has connected to the resistor before: the
// resistor is on no switch, and no voltage holds the coil back.
func (a *Attempt) byHand() bool {
	at, _ := a.Contactor.Awaits()
	return a.Premise.By == Hand && a.Premise.Device != "" && at == nil &&
		!slices.ContainsFunc(a.Round, func(e *circuit.Edge) bool { return e.Kind == circuit.SwitchEdge || e.Kind == circuit.ContactEdge })
}

// Energised reports whether the contactor's coil is fed in a mode with some edges
// open, their ids separated by spaces.
func (a *Attempt) Energised(p *rules.Pass, mode, open string) bool {
	id := a.Contactor.ID
	s := p.Circuit.Solve(circuit.Case{Mode: mode, Start: circuit.FromOpen, NoDraw: true, Waiting: id, Open: open})
	v, ok := s.Across(id+".coil_pos", id+".coil_neg")
	return ok && s.Failed == "" && math.Abs(v) > a.Contactor.Coil.NominalV/2
}

// KeyPoles lists the poles of the key switches, separated by spaces.
func KeyPoles(p *rules.Pass) string {
	var poles []string
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		if sw.Role == "key" && !sw.Spare {
			for pole := range schema.Sorted(sw.Poles) {
				poles = append(poles, id+"."+pole)
			}
		}
	}
	return strings.Join(poles, " ")
}

// corner is the circuit while the vehicle is started: controllers draw nothing yet.
func (a *Attempt) corner(pack circuit.Supply, waiting bool) circuit.Case {
	c := circuit.Case{Mode: a.Mode, Start: circuit.FromOpen, NoDraw: true, Pack: pack, Open: a.keys}
	if waiting {
		c.Waiting = a.Contactor.ID
	}
	return c
}

// Delay is the time from the last contact of the pre-charge's loop to closing, in s.
func (a *Attempt) Delay() schema.Number { return a.Premise.DelayS }

// awaits is the voltage that the contactor waits for, nil if it waits for none or
// nothing watches it.
func (a *Attempt) awaits() *schema.ClosesAt {
	at, _ := a.Contactor.Awaits()
	if !a.Premise.Made() {
		return nil
	}
	return at
}

// Awaits reports whether the contactor waits for a voltage that something watches.
func (a *Attempt) Awaits() bool { return a.awaits() != nil }

// Waits reports whether it is known what the contactor waits for.
func (a *Attempt) Waits() bool { return a.Delay().Known || a.awaits() != nil }

// Charge is the pre-charge as a resistor and a capacitor, with bleed resistors,
// from a voltage in V.
func (a *Attempt) Charge(v float64) calc.Charging {
	c := a.charge
	c.SourceV = v
	return c
}

// agreement is the share of the supply by which the settled state of the circuit
// may differ from that of a resistor and a capacitor alone.
const agreement = 0.005

// Plain reports whether the pre-charge goes as that of a resistor and a
// capacitor, with or without a bleed: whether nothing else draws from it.
func (a *Attempt) Plain() bool {
	if a.Missing != "" || a.Never || a.settled.Failed != "" || len(a.settled.Chatter) > 0 || len(a.Resistors) > 1 {
		return false
	}
	if slices.ContainsFunc(a.Capacitors, func(e *circuit.Edge) bool { return e.Kind == circuit.ConverterInput }) {
		return false
	}
	across, full, ok := a.across(a.settled)
	if !ok {
		return false
	}
	final, err := a.Charge(full).FinalV()
	return err == nil && math.Abs(final.Value-across) < agreement*full
}

// state is what a solution and a moment of a run have in common.
type state interface {
	Across(a, b string) (float64, bool)
}

// across is the voltage of the first capacitor in a state, and what it will reach
// when the contact closes: less than it has where a charger behind the contact holds it
// above an empty battery.
func (a *Attempt) across(s state) (v, full float64, ok bool) {
	pos, neg := terminals(a.Capacitors[0])
	v, ok = s.Across(pos, neg)
	far, near := a.Contactor.ID+".a", a.Contactor.ID+".b"
	_, ok2 := s.Across(far, near)
	// The end of the contact that is one metal with a pole of the capacitor takes that
	// pole to where its other end is.
	least := math.Inf(1)
	full = v
	for _, ends := range [][2]string{{far, near}, {near, far}} {
		toPos, _ := s.Across(pos, ends[1])
		toNeg, _ := s.Across(neg, ends[1])
		left, _ := s.Across(ends[0], ends[1])
		if math.Abs(toPos) < least {
			least, full = math.Abs(toPos), v+left
		}
		if math.Abs(toNeg) < least {
			least, full = math.Abs(toNeg), v-left
		}
	}
	return math.Abs(v), math.Abs(full), ok && ok2
}

func terminals(e *circuit.Edge) (pos, neg string) {
	if e.Kind == circuit.ConverterInput {
		return e.Part + ".in_pos", e.Part + ".in_neg"
	}
	return e.Part + ".pos", e.Part + ".neg"
}

// Supplied reports whether anything charges the capacitors while the contactor
// waits.
func (a *Attempt) Supplied() bool {
	if a.Never || a.settled.Failed != "" {
		return false
	}
	v, full, ok := a.across(a.settled)
	return len(a.settled.Chatter) > 0 || ok && v > 0.01*full
}

// Idle reports whether the contactor closes on nothing: no voltage is across it while
// it waits, and none on the capacitors.
func (a *Attempt) Idle() bool {
	if a.Never || a.settled.Failed != "" || len(a.settled.Chatter) > 0 {
		return false
	}
	v, full, _ := a.across(a.settled)
	return v < 1 && full < 1
}

// span is a time in s that is long against the pre-charge.
func (a *Attempt) span() float64 {
	return max(10, 15*a.charge.SeriesOhm*a.charge.CapacitanceF)
}

// Run is the pre-charge in time, from empty capacitors until the contactor closes,
// or until the key that closes it does.
func (a *Attempt) Run(p *rules.Pass, pack circuit.Supply) *circuit.Course {
	if a.keys != "" {
		return p.Circuit.Transient(circuit.Transient{Case: a.corner(pack, false), ForS: max(a.Delay().Or(0), 1e-6)})
	}
	declared, _ := a.Contactor.Delay()
	return p.Circuit.Transient(circuit.Transient{Case: a.corner(pack, false), ForS: max(a.Delay().Or(0), declared.Or(0)) + a.span(),
		Until: a.Contactor.ID, AtOnce: a.atOnce()})
}

// atOnce is the contactor where its own delay says nothing: a timer makes it, or nothing.
func (a *Attempt) atOnce() string {
	if a.Premise.By == Timer && !a.Awaits() || !a.Premise.Made() {
		return a.Contactor.ID
	}
	return ""
}

// closing is the moment before the contactor closes in a run, and when that is;
// not ok if it never does.
func (a *Attempt) closing(c *circuit.Course) (m circuit.Moment, s float64, ok bool) {
	if a.keys != "" {
		return c.End(), c.EndS(), true
	}
	e, ok := c.First(a.Contactor.ID)
	return c.Before(e), e.S, ok
}

// Endless is the same with a contactor that never closes.
func (a *Attempt) Endless(p *rules.Pass, pack circuit.Supply) *circuit.Course {
	return p.Circuit.Transient(circuit.Transient{Case: a.corner(pack, true), ForS: a.span()})
}

// Settled is the voltage in V at which the capacitors settle with a contactor that
// never closes, and what they would reach with it closed. Where they do not settle,
// because something starts and stops or chatters, it is named.
func (a *Attempt) Settled(p *rules.Pass, pack circuit.Supply) (v, full float64, oscillating string, ok bool) {
	if a.Plain() && pack == circuit.Highest {
		v, full, ok = a.across(a.settled)
		return v, full, "", ok
	}
	c := a.Endless(p, pack)
	if c.Failed != "" {
		return 0, 0, "", false
	}
	if who := append(slices.Clone(c.Cycling), c.Chatter...); len(who) > 0 {
		oscillating = who[0]
	}
	v, full, ok = a.across(c.End())
	return v, full, oscillating, ok
}

// Draw is the part that draws most from the capacitors while they charge, bleed
// resistors left out, and its greatest current in A; "" if none does. What a
// converter feeds it draws as that converter's input.
func (a *Attempt) Draw(p *rules.Pass, pack circuit.Supply) (who string, amperes float64) {
	c := a.Endless(p, pack)
	for _, list := range [][]*circuit.Edge{a.Capacitors, a.Loads} {
		for _, e := range list {
			if drawn := c.Drawn(e.ID); drawn.A > max(amperes, 1e-3) {
				who, amperes = e.Part, drawn.A
			}
		}
		if who != "" {
			break
		}
	}
	return who, amperes
}

// TimeTo is the time in s after which the capacitors have reached a share of the
// supply with the pack full; not ok if they never do.
func (a *Attempt) TimeTo(p *rules.Pass, share float64) (s float64, ok bool) {
	if a.Plain() {
		s, err := a.Charge(1).TimeTo(share)
		return s, err == nil && !math.IsInf(s, 1)
	}
	_, full, _, ok := a.Settled(p, circuit.Highest)
	if !ok {
		return 0, false
	}
	pos, neg := terminals(a.Capacitors[0])
	return a.Endless(p, circuit.Highest).TimeTo(pos, neg, share*full)
}

// Enough is the delay in s after which the contact may close: what is then left across
// it is within the policy, and what comes through it from V_w, in V, beside what loads
// draw, in A, within make_A where that is given. Not ok if the capacitors never reach that.
func (a *Attempt) Enough(p *rules.Pass, v, loadsA float64) (s float64, ok bool) {
	left := a.allowedShare(p, v, loadsA)
	if left <= 0 {
		return 0, false
	}
	return a.TimeTo(p, 1-left)
}

// Charged is the share of the supply that counts as charged (common practice).
const Charged = 0.9

// Stalls reports whether the capacitors do not reach that share while the
// contactor waits.
func (a *Attempt) Stalls(p *rules.Pass) bool {
	final, full, oscillating, ok := a.Settled(p, circuit.Highest)
	// A thousandth is the resistance of the cables.
	return ok && (oscillating != "" || final < 0.999*Charged*full)
}
