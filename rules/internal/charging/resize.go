package charging

import (
	"fmt"
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Resize says which resistance suits a pre-charge from V_w, in V: by what it charges
// before the contactor closes, what passes the open contact, and what the resistor
// then has to withstand. Where none does it says what to change. It is "" where that
// cannot be told from the resistor and the capacitors alone, because something else
// draws from them or there are several resistors.
func (a *Attempt) Resize(p *rules.Pass, v float64) string {
	if !a.Plain() {
		return ""
	}
	r := a.Resistors[0]
	lower, upper := a.leastOhm(p, v), a.mostOhm(p, v, a.Delay())
	low, high := roundedWindow(lower, upper, 1)
	if low > high && lower <= upper {
		low, high = roundedWindow(lower, upper, 0.01)
	}
	own, delay := r.ResistanceOhm, a.Delay().Or(0)
	switch {
	case low > high:
		return a.noResistance(p, v, low, high)
	case own < low && math.IsInf(high, 1):
		return fmt.Sprintf("raise resistance_Ohm of %s from %s to at least %s%s", r.ID, rules.Figure(own), rules.Figure(low), a.rated(p, low, v, delay))
	case own < low:
		return fmt.Sprintf("raise resistance_Ohm of %s from %s to at least %s, and at most %s to charge in time%s",
			r.ID, rules.Figure(own), rules.Figure(low), rules.Figure(high), a.rated(p, low, v, delay))
	case own > high && low > 0:
		return fmt.Sprintf("lower resistance_Ohm of %s from %s to between %s and %s%s",
			r.ID, rules.Figure(own), rules.Figure(low), rules.Figure(high), a.rated(p, high, v, delay))
	case own > high:
		return fmt.Sprintf("lower resistance_Ohm of %s from %s to %s%s", r.ID, rules.Figure(own), rules.Figure(high), a.rated(p, high, v, delay))
	}
	return ""
}

// Proposal says how to pre-charge the capacitors that a contactor closes on: a resistor
// of the least resistance that may stay across the contact, what it has to withstand,
// and how long the contactor then waits. Not ok where a capacitance is not known, where
// something else draws from the capacitors, or where no time suffices.
func Proposal(p *rules.Pass, k Closing) (text string, ok bool) {
	contactor, is := p.Spec.Contactors[k.Contact.Part]
	if !is || k.Resisted || len(k.Loads) > 0 {
		return "", false
	}
	v, fed := ExplainFull(p, p.Subject(contactor.ID, contactor.Path()).Working, k.Contact.From)
	if !fed {
		return "", false
	}
	a := Attempt{Closing: k, Contactor: contactor, Resistors: []*schema.Resistor{{}}}
	var bleedS float64
	for _, e := range k.Capacitors {
		controller, is := p.Spec.Controllers[e.Part]
		if !is || !controller.CapacitanceUF.Known {
			return "", false
		}
		a.charge.CapacitanceF += controller.CapacitanceUF.Value / 1e6
		if controller.BleedKOhm.Known {
			bleedS += 1 / (1000 * controller.BleedKOhm.Value)
		}
	}
	if bleedS > 0 {
		a.charge.BleedOhm = 1 / bleedS
	}
	ohm := v / p.Spec.Policy.PrechargeBypassA
	ohm = rules.RoundUp(ohm, Step(ohm))
	charge := a.Charge(1)
	charge.SeriesOhm = ohm
	s, err := charge.TimeTo(1 - a.allowedShare(p, v, 0))
	if err != nil || math.IsInf(s, 1) {
		return "", false
	}
	if final, err := charge.FinalV(); err != nil || final.Value < Charged*Required(p, "precharge-stalls") {
		return "", false
	}
	s = rules.RoundUp(s, 0.1)
	return fmt.Sprintf("connect a resistor of role precharge around %[1]s, by a relay on the key or permanently (permanent: true), such as %[2]s Ohm rated at least %[3]s, and set closes_after_s of %[1]s to at least %[4]s",
		contactor.ID, rules.Figure(ohm), RatingText(a.Ratings(p, ohm, v, s)), rules.Figure(s)), true
}

// noResistance says what to change where what a resistance must have at least, in Ohm,
// is more than it may have.
func (a *Attempt) noResistance(p *rules.Pass, v, low, high float64) string {
	r := a.Resistors[0]
	begin := fmt.Sprintf("no resistance of %s suits: at least %s Ohm for the current around the open contact, at most %s Ohm to charge in time; ",
		r.ID, rules.Figure(low), rules.Figure(high))
	k := a.Charge(1)
	k.SeriesOhm = low
	s, err := k.TimeTo(1 - a.allowedShare(p, v, 0))
	s = rules.RoundUp(s*a.slack(), 0.1)
	if err != nil || !a.Delay().Known || low > a.mostOhm(p, v, schema.Some(s)) {
		return begin + "fit a relay in series with it that opens with the key"
	}
	return begin + fmt.Sprintf("%s with %s Ohm%s, or fit a relay in series with it that opens with the key",
		a.Longer(p, s), rules.Figure(low), a.rated(p, low, v, s))
}

// Suits reports whether the capacitors are still charged in time through a greater
// resistance in Ohm from V_w, in V.
func (a *Attempt) Suits(p *rules.Pass, ohm, v float64) bool {
	return a.Plain() && rules.RoundUp(ohm, Step(ohm)) <= a.mostOhm(p, v, a.Delay())
}

// roundedWindow rounds both ends of a window inwards, to a share of their second digit.
func roundedWindow(least, most, share float64) (low, high float64) {
	low, high = least, most
	if low > 0 {
		low = rules.RoundUp(low, share*Step(low))
	}
	if high > 0 && !math.IsInf(high, 1) {
		high = rules.RoundDown(high, share*Step(high))
	}
	return low, high
}

// allowedShare is the share of V_w, in V, that may be left across the contact when it
// closes: by the policy, and by what the making capacity leaves beside loads, in A, where
// that is given.
func (a *Attempt) allowedShare(p *rules.Pass, v, loadsA float64) float64 {
	left := p.Spec.Policy.PrechargeLeftPercent / 100 / Required(p, "precharge-incomplete")
	if make := a.Contactor.Contact.MakeA; make.Known {
		// The peak rises as the voltage that is left.
		if event, ok := a.Event(p); ok && event.Missing == "" {
			event.LeftV = schema.Some(v)
			if peak, err := event.PeakA(p, p.Subject(a.Contactor.ID, a.Contactor.Path()).Working); err == nil {
				left = min(left, (make.Value/Required(p, "contactor-make-low")-loadsA)/peak)
			}
		}
	}
	return left
}

// Required is the headroom that a rule requires whose default is 1.
func Required(p *rules.Pass, rule string) float64 {
	if r, ok := p.Spec.Policy.Required[rule]; ok {
		return max(r, 1)
	}
	return 1
}

// Unswitched reports whether nothing but a disconnect opens the circuit of the
// resistor, so that it stays connected with the key off.
func (a *Attempt) Unswitched(p *rules.Pass) bool {
	return !slices.ContainsFunc(a.Round, func(e *circuit.Edge) bool {
		_, disconnect := p.Spec.Part(e.Part).(*schema.Disconnect)
		return e.Kind == circuit.ContactEdge || e.Kind == circuit.SwitchEdge && !disconnect
	})
}

// leastOhm is the resistance in Ohm that keeps the current past the open contact within
// the policy where nothing opens it, and the first current within the making capacity
// of the relay that switches it.
func (a *Attempt) leastOhm(p *rules.Pass, v float64) (ohm float64) {
	if a.Unswitched(p) {
		ohm = v / p.Spec.Policy.PrechargeBypassA
	}
	for _, e := range a.Round {
		if relay, ok := p.Spec.Relays[e.Part]; ok && relay.Contact.MakeA.Known {
			ohm = max(ohm, Required(p, "contactor-make-low")*v/relay.Contact.MakeA.Value)
		}
	}
	return ohm
}

// mostOhm is the resistance in Ohm with which the capacitors settle high enough, and are
// charged after a delay in s, or reach the voltage that the contactor waits for.
func (a *Attempt) mostOhm(p *rules.Pass, v float64, delay schema.Number) float64 {
	left := a.allowedShare(p, v, 0)
	suits := func(ohm float64) bool {
		k := a.Charge(1)
		k.SeriesOhm = ohm
		final, err := k.FinalV()
		if err != nil || final.Value < Charged*Required(p, "precharge-stalls") {
			return false
		}
		if at := a.awaits(); at != nil {
			return final.Value > at.Percent/100
		}
		if !delay.Known {
			return true
		}
		after, err := k.VoltageAfter(delay.Value / a.slack())
		return err == nil && after.Value >= 1-left
	}
	const greatest = 1e6 // Ohm: more than any pre-charge has
	if suits(greatest) {
		return math.Inf(1)
	}
	// Of the conductance the least suits.
	return 1 / least(1/greatest, 1e3, func(siemens float64) bool { return suits(1 / siemens) })
}

// rated is the end of a sentence that advises a resistance in Ohm: what the resistor
// must be rated for then, with a delay in s, where its ratings are less or not given.
func (a *Attempt) rated(p *rules.Pass, ohm, v, delayS float64) string {
	need := RatingText(a.Ratings(p, ohm, v, delayS))
	if need == "" {
		return ""
	}
	return fmt.Sprintf(" (at %s Ohm rated at least %s)", rules.Figure(ohm), need)
}

// RatingText names ratings of a resistor in W and J; those that are 0 are left out.
func RatingText(power, pulse float64) string {
	var need []string
	if power > 0 {
		need = append(need, rules.Figure(power)+" W continuous")
	}
	if pulse > 0 {
		need = append(need, rules.Figure(pulse)+" J in a pulse")
	}
	return rules.And(need)
}

// Percent is the share of the supply in percent to which closes_at may be raised so that
// what is left across the contact when it closes is allowed; see [Attempt.Enough]. Not
// ok if the capacitors do not reach that.
func (a *Attempt) Percent(p *rules.Pass, v, loadsA float64) (percent float64, ok bool) {
	const reading = 0.5 // percent: it must be reached for certain
	percent = rules.RoundUp(100*(1-a.allowedShare(p, v, loadsA))+reading, 1)
	final, full, oscillating, ok := a.Settled(p, circuit.Highest)
	return percent, ok && oscillating == "" && 100*final > (percent+reading)*full
}

// Ratings are the continuous power in W and the pulse energy in J that a plain
// pre-charge's resistor of a resistance in Ohm needs for one attempt, for several in a
// minute and for a shorted controller; each 0 where what it is rated for suffices.
func (a *Attempt) Ratings(p *rules.Pass, ohm, v, delayS float64) (power, pulse float64) {
	r := a.Resistors[0]
	continuous := r.Permanent || a.Unswitched(p) || a.awaits() != nil || !a.Delay().Known
	shorted := Required(p, "precharge-short-burns") * v * v / ohm
	rated := r.PowerW.Or(0)
	if rated < shorted && (continuous || !r.PulseJ.Known || !r.PowerW.Known || shortHeat(shorted, rated, r.PulseJ.Value, delayS) > r.PulseJ.Value) {
		power = rules.RoundUp(shorted, Step(shorted))
		rated = power
	}
	k := a.Charge(v)
	k.SeriesOhm = ohm
	heat, err := k.ResistorEnergy()
	if k.BleedOhm > 0 {
		if delayS == 0 {
			delayS = a.span() // it waits for a voltage: not longer than this
		}
		heat, err = k.HeatAfter(delayS)
	}
	if err != nil {
		return power, 0
	}
	need := PulseFor(p, heat.Value, rated)
	if need > r.PulseJ.Or(0) {
		pulse = rules.RoundUp(need, Step(need))
	}
	return power, pulse
}

// PulseFor is the pulse energy in J that a resistor must be rated for, of a continuous
// rating in W, if one attempt heats it by some J.
func PulseFor(p *rules.Pass, heat, powerW float64) float64 {
	once, often := Required(p, "precharge-pulse-high")*heat, Required(p, "precharge-attempts-hot")*heat
	low, high := max(once, often), max(once, often*attempts(p))
	return least(low, high, func(pulse float64) bool { return often*heats(p, powerW, pulse) <= pulse })
}

// PowerFor is the same for the continuous rating in W of a resistor with a pulse rating in J.
func PowerFor(p *rules.Pass, heat, pulseJ float64) float64 {
	often := Required(p, "precharge-attempts-hot") * heat
	high := 100 * pulseJ * attempts(p) / 60 // cold again by the next attempt
	return least(0, high, func(power float64) bool { return often*heats(p, power, pulseJ) <= pulseJ })
}

// attempts is how many attempts a minute may have.
func attempts(p *rules.Pass) float64 { return math.Floor(p.Spec.Policy.PrechargeAttempts) }

// heats is how many times the heat of one attempt is left in a resistor after the last
// of a minute, by its continuous rating in W and its pulse rating in J.
func heats(p *rules.Pass, powerW, pulseJ float64) float64 {
	n := attempts(p)
	q := math.Exp(-60 / n * powerW / pulseJ)
	if q == 1 {
		return n
	}
	return (1 - math.Pow(q, n)) / (1 - q)
}

// least is the least value between two that suits, if the upper one does.
func least(low, high float64, suits func(float64) bool) float64 {
	if suits(low) {
		return low
	}
	for range 60 {
		if middle := (low + high) / 2; suits(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// shortHeat is the heat in J that a short on the output leaves in a resistor of a
// continuous rating in W and a pulse rating in J after a time in s.
func shortHeat(watts, ratedW, pulseJ, s float64) float64 {
	tau := pulseJ / ratedW
	return -watts * tau * math.Expm1(-s/tau)
}

// ShortPulseJ is the pulse energy in J with which a resistor of a continuous rating in W
// withstands a greater power, in W, for a time in s.
func ShortPulseJ(watts, ratedW, s float64) float64 {
	return s * ratedW / -math.Log1p(-ratedW/watts)
}

// ShortPower is the continuous rating in W with which a resistor of a pulse rating in J
// withstands a power in W for a time in s.
func ShortPower(watts, pulseJ, s float64) float64 {
	return least(1e-3*watts, watts, func(rated float64) bool { return shortHeat(watts, rated, pulseJ, s) <= pulseJ })
}
