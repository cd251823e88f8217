// Package charging tells what a contact charges when it closes: the capacitors
// behind it, the resistor through which they are charged before, and how such a
// pre-charge goes in the circuit as it is.
package charging

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Closing is what a contact connects when it closes.
type Closing struct {
	Contact    *circuit.Edge
	Round      []*circuit.Edge // the way around the contact, nil if there is none
	Open       string          // contacts still open then: on that way, those that close later, and those of packs in parallel that need not be closed before
	Capacitors []*circuit.Edge // controllers and converter inputs
	Loads      []*circuit.Edge
	Resisted   bool // they are connected through a resistor
}

// Of finds what a contact connects when it closes, with the contacts on the way
// around it, the contactors that wait longer than it does, and what would connect
// another pack to the same capacitors, still open.
func Of(p *rules.Pass, contact *circuit.Edge) Closing {
	found := rules.Shared(p, "closings", func() map[string]Closing { return map[string]Closing{} })
	k, ok := found[contact.ID]
	if !ok {
		k = find(p, contact)
		found[contact.ID] = k
	}
	k.Capacitors, k.Loads = slices.Clone(k.Capacitors), slices.Clone(k.Loads) // a caller may leave some out
	return k
}

func find(p *rules.Pass, contact *circuit.Edge) Closing {
	k := Closing{Contact: contact, Round: p.Circuit.Bypass(contact.ID)}
	open := map[string]bool{}
	var ids []string
	leave := func(id string) {
		if !open[id] {
			open[id] = true
			ids = append(ids, id)
		}
	}
	for _, e := range k.Round {
		if e.Kind == circuit.ContactEdge {
			leave(e.ID)
		}
	}
	for _, id := range later(p, contact.Part) {
		leave(id + ".contact")
	}
	for _, e := range blocking(p, contact, open) {
		leave(e.ID)
	}
	k.Open = strings.Join(ids, " ")
	type state struct {
		list      string
		resistors bool
	}
	fed := rules.Shared(p, "fed", func() map[state]map[string]bool { return map[state]map[string]bool{} })
	for _, resistors := range []bool{false, true} {
		as := state{k.Open, resistors}
		if fed[as] == nil {
			fed[as] = fedEdges(p, open, resistors)
		}
		for _, e := range fedBy(p, contact, fed[as], open, resistors) {
			switch {
			case e.Kind == circuit.LoadEdge:
				k.Loads = append(k.Loads, e)
			case e.Kind == circuit.ControllerEdge, e.Kind == circuit.ConverterInput:
				k.Capacitors = append(k.Capacitors, e)
			}
		}
		if k.Resisted = resistors; len(k.Capacitors)+len(k.Loads) > 0 {
			break
		}
	}
	return k
}

// fedBy lists the consumers that a contact feeds, of those that are fed while it is
// closed; see fedEdges.
func fedBy(p *rules.Pass, contact *circuit.Edge, after, open map[string]bool, resistors bool) (out []*circuit.Edge) {
	if behind, ok := p.Circuit.Hanging(contact); ok && !feedsConverter(p, behind) {
		for _, v := range behind {
			for _, e := range p.Circuit.EdgesAt(v) {
				if after[e.ID] {
					out = append(out, e)
				}
			}
		}
		slices.SortFunc(out, circuit.Before)
		return slices.Compact(out)
	}
	open[contact.ID] = true
	before := fedEdges(p, open, resistors)
	delete(open, contact.ID)
	for _, e := range p.Circuit.Edges {
		if after[e.ID] && !before[e.ID] {
			out = append(out, e)
		}
	}
	return out
}

// feedsConverter reports whether the input of a converter is at some nodes: what it
// feeds goes with it.
func feedsConverter(p *rules.Pass, nodes []circuit.Node) bool {
	return slices.ContainsFunc(nodes, func(v circuit.Node) bool {
		return slices.ContainsFunc(p.Circuit.EdgesAt(v), func(e *circuit.Edge) bool { return e.Kind == circuit.ConverterInput })
	})
}

// blocking finds the contacts of packs in parallel that may be open when a contact
// closes on a controller or converter: disconnects, and contactors that do not close
// before it. With one of them closed the capacitors are charged already.
func blocking(p *rules.Pass, contact *circuit.Edge, open map[string]bool) (out []*circuit.Edge) {
	own := func(e *circuit.Edge) bool { return e == contact }
	pass := func(e *circuit.Edge) bool { return !open[e.ID] }
	may := func(e *circuit.Edge) bool {
		if p.Spec.Contactors[e.Part] != nil {
			return !slices.Contains(later(p, e.Part), contact.Part)
		}
		return p.Spec.Disconnects[e.Part] != nil || p.Spec.Breakers[e.Part] != nil
	}
	for _, e := range p.Circuit.Edges {
		if e.Kind == circuit.ControllerEdge || e.Kind == circuit.ConverterInput {
			first, _ := p.Circuit.BlockingContacts(e, own, may, pass)
			out = append(out, first...)
		}
	}
	return out
}

// later lists the contactors that close after the one of an id: those that wait
// for a voltage, or longer. A contactor that does not wait closes at once.
func later(p *rules.Pass, id string) []string {
	wait := func(k *schema.Contactor) (s float64, voltage bool) {
		delay, _ := k.Delay()
		at, _ := k.Awaits()
		if c := k.Closes; c != nil && p.Spec.Timers[c.Device] != nil {
			delay = schema.Some(circuit.TimerS(p.Spec.Timers[c.Device]))
		}
		return delay.Or(0), at != nil
	}
	own, ok := p.Spec.Contactors[id]
	var ids []string
	for other, k := range schema.Sorted(p.Spec.Contactors) {
		if other == id || k.Spare {
			continue
		}
		s, voltage := wait(k)
		var ownS float64
		var ownVoltage bool
		if ok {
			ownS, ownVoltage = wait(own)
		}
		if !ownVoltage && (voltage || s > ownS) {
			ids = append(ids, other)
		}
	}
	return ids
}

// fedEdges finds the consumers that are connected to both poles of a source, with
// everything closed but some contacts. A converter is a source as long as its
// own input is fed.
func fedEdges(p *rules.Pass, open map[string]bool, resistors bool) map[string]bool {
	n := p.Circuit
	fed := map[string]bool{}
	done := map[string]bool{}
	for again := true; again; {
		again = false
		for _, source := range n.Sources() {
			if done[source.ID] || source.Role == "charger" || source.Role == "converter" && !fed[source.ID+".in"] {
				continue
			}
			done[source.ID], again = true, true
			reach := n.ReachPoles(func(outward bool) circuit.Passes { return passes(p, source, open, resistors, outward) }, source.Pos, source.Neg)
			for _, e := range n.Edges {
				if isConsumer(e) && reach.Span(e) {
					fed[e.ID] = true
				}
			}
		}
	}
	return fed
}

func isConsumer(e *circuit.Edge) bool {
	return e.Kind == circuit.LoadEdge || e.Kind == circuit.ControllerEdge || e.Kind == circuit.ConverterInput
}

// passes goes on from a pole of a source, outward with the current or back against
// it, through the other batteries of a string, with some contacts open.
func passes(p *rules.Pass, source circuit.Source, open map[string]bool, resistors, outward bool) circuit.Passes {
	return func(e *circuit.Edge, enter circuit.Node) bool {
		switch {
		case open[e.ID]:
			return false
		case e.Kind == circuit.DiodeEdge:
			return (enter == e.From) == outward
		case e.Kind == circuit.BatteryEdge:
			return e.Part != source.ID && (enter == e.To) == outward
		}
		return e.Conducts() || resistors && p.Circuit.IsSeriesResistor(e)
	}
}

// LoopOhm is the resistance in Ohm through which V_w, in V, is switched onto empty
// capacitors: the battery at its lowest resistance, conductors at the lowest ambient;
// +Inf where no battery feeds them.
func (k Closing) LoopOhm(p *rules.Pass, v float64) float64 {
	loop := math.Inf(1)
	for _, e := range k.Capacitors {
		if f, ok := p.Circuit.Fault(e.From, e.To, circuit.FaultCase{Greatest: true, Open: k.Open}); ok && f.BatteriesA != 0 {
			loop = min(loop, v/math.Abs(f.BatteriesA))
		}
	}
	return loop
}

// Resistors lists the resistors on the way around the contact, "" if there are none.
func (k Closing) Resistors(p *rules.Pass) []*schema.Resistor {
	var out []*schema.Resistor
	for _, e := range k.Round {
		if r, ok := p.Spec.Resistors[e.Part]; ok && e.Kind == circuit.ResistorEdge {
			out = append(out, r)
		}
	}
	return out
}

// Capacitance is the capacitance of a consumer in uF, and the path of it.
func Capacitance(p *rules.Pass, e *circuit.Edge) (microfarad schema.Number, path string) {
	if k, ok := p.Spec.Controllers[e.Part]; ok {
		return k.CapacitanceUF, k.Path() + ".capacitance_uF"
	}
	k := p.Spec.Converters[e.Part]
	return k.Input.CapacitanceUF, k.Path() + ".input.capacitance_uF"
}

// LimitsItself reports whether a consumer limits the current into its own capacitors.
func LimitsItself(p *rules.Pass, e *circuit.Edge) bool {
	k, ok := p.Spec.Controllers[e.Part]
	return ok && k.InternalPrecharge
}
