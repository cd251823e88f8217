package charging

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// mayBeHand reports whether a delay that nothing makes may be that of a person: where
// the spec names no device that makes it.
func (a *Attempt) mayBeHand() bool {
	return a.Contactor.Closes == nil || By(a.Contactor.Closes.By) == Hand
}

// ByPerson reports whether a person waits who is declared, or at least nothing speaks
// against one.
func (a *Attempt) ByPerson() bool {
	return a.Premise.By == Hand && a.Premise.Idle == "" && a.Premise.Early == "" && a.mayBeHand()
}

// idle is a controller with an output for a coil to which nothing is connected, "" if
// there is none: where a delay is declared, that output was meant to make it.
func idle(p *rules.Pass) string {
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if !k.Spare && k.CoilOut != nil && p.Circuit.Connected(id+".pos") && !p.Circuit.Connected(id+".coil_out") {
			return id
		}
	}
	return ""
}

// device is the first of the devices that hold the coil back while the capacitors
// charge: a controller's output, a timer, a switch.
func (a *Attempt) device(p *rules.Pass) Premise {
	for id := range schema.Sorted(p.Spec.Controllers) {
		if driver := id + ".coil_out"; slices.Contains(p.Circuit.Mode(a.Mode).Closed, driver) && a.heldBackBy(p, driver) {
			return Premise{By: Controller, Device: id}
		}
	}
	var early Premise
	for id, t := range schema.Sorted(p.Spec.Timers) {
		if t.Function != "on-delay" || t.Spare || !a.heldBackBy(p, id+".no") {
			continue
		}
		sw := a.runsBefore(p, t)
		if sw == "" {
			return Premise{By: Timer, Device: id}
		}
		early = Premise{Early: id, Ahead: sw}
	}
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		if !sw.Spare && a.heldBackBy(p, poles(sw)) {
			early.By, early.Device = Hand, id
			return early
		}
	}
	return early
}

// runsBefore is a switch ahead of which a timer is fed and without which the pre-charge
// does not begin, "" if there is none. The time counts from the timer's supply: with
// that switch open for longer than the delay it is over when the switch closes. A
// disconnect is closed before the vehicle is started, and counts only for a timer that
// has its supply with everything open.
func (a *Attempt) runsBefore(p *rules.Pass, t *schema.Timer) string {
	var everything []string
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		if sw.Spare || len(sw.Poles) == 0 {
			continue
		}
		everything = append(everything, poles(sw))
		if a.liveBefore(p, t, poles(sw)) {
			return id
		}
	}
	for id, d := range schema.Sorted(p.Spec.Disconnects) {
		if !d.Spare {
			everything = append(everything, id)
		}
	}
	if !a.liveBefore(p, t, strings.Join(everything, " ")) {
		return ""
	}
	for id, d := range schema.Sorted(p.Spec.Disconnects) {
		if !d.Spare && !a.charges(p, id) {
			return id
		}
	}
	return ""
}

// liveBefore reports whether a timer has its supply with some edges open, and the
// pre-charge does not go on.
func (a *Attempt) liveBefore(p *rules.Pass, t *schema.Timer, edges string) bool {
	k := a.corner(circuit.Highest, true)
	k.Open = strings.TrimSpace(k.Open + " " + edges)
	s := p.Circuit.Solve(k)
	v, ok := s.Across(t.ID+".pos", t.ID+".neg")
	return ok && s.Failed == "" && math.Abs(v) >= t.SupplyV.Min && !a.charges(p, edges)
}

// claimed is what closes.by says of a pre-charge in which the circuit shows something
// else: a voltage relay, a capacitor or an auxiliary contact must be named to be known.
func (a *Attempt) claimed(p *rules.Pass, shown Premise, by By, device string) Premise {
	switch {
	case by == Timer && shown.Early != "" && (device == "" || device == shown.Early):
		return shown
	case by == Hand:
		if shown.By == "" {
			shown.Undrawn = "a switch that closes later than what begins the pre-charge"
		}
	case by == Capacitor:
		return Premise{By: Capacitor}
	case by == VoltageRelay && p.Spec.Relays[device] != nil && a.heldBackBy(p, device+".no"):
		return Premise{By: VoltageRelay, Device: device}
	case by == Auxiliary:
		return Premise{By: Auxiliary, Device: device}
	default:
		shown.Undrawn = "a " + string(by) + " in the path of the coil"
		if device != "" {
			shown.Undrawn = device + " in the path of the coil"
		}
	}
	return shown
}

// heldBackBy reports whether the coil is without supply while some edges are open, their
// ids separated by spaces, and the capacitors charge none the less.
func (a *Attempt) heldBackBy(p *rules.Pass, edges string) bool {
	if edges == "" || a.Energised(p, a.Mode, edges) {
		return false
	}
	return a.charges(p, edges)
}

// charges reports whether the pre-charge goes on with some edges open.
func (a *Attempt) charges(p *rules.Pass, edges string) bool {
	k := a.corner(circuit.Highest, true)
	k.Open = strings.TrimSpace(k.Open + " " + edges)
	s := p.Circuit.Solve(k)
	v, _, ok := a.across(s)
	full, _, _ := a.across(a.settled)
	return ok && s.Failed == "" && v > full/2
}
