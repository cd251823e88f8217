package contactor

import (
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/contact"
	"example.org/headroom/schema"
)

// carried is the current of a device's contact in one mode, in A, from the
// contact's first terminal to its second; against that direction it is negative.
type carried struct {
	mode *schema.Mode
	edge *circuit.Edge
	a    float64
	at   circuit.Case
}

// corners are the states in which the current of a contact can be greatest:
// constant power draws most from an empty pack, resistance from a full one.
func corners(mode string) []circuit.Case {
	return []circuit.Case{
		{Mode: mode, Pack: circuit.Lowest},
		{Mode: mode, Pack: circuit.Lowest, House: circuit.Alone, Auxiliary: circuit.Lowest},
		{Mode: mode, Pack: circuit.Highest},
	}
}

// currents lists the greatest current of the device's contacts in each mode,
// by mode. Failed is a solution that they cannot rest on.
func (d device) currents(p *rules.Pass) (out []carried, failed *circuit.Solution) {
	for id, mode := range schema.Sorted(p.Spec.Modes) {
		worst := carried{mode: mode, edge: d.contacts[0], at: circuit.Case{Mode: id}}
		for _, k := range corners(id) {
			s := p.Circuit.Solve(k)
			if !s.Settled(d.contactIDs()...) {
				return nil, s
			}
			for _, e := range d.contacts {
				if i := s.Current(e.ID); math.Abs(i) > math.Abs(worst.a) {
					worst.edge, worst.a, worst.at = e, i, k
				}
			}
		}
		out = append(out, worst)
	}
	return out, nil
}

// contactIDs lists the ids of the device's contact edges.
func (d device) contactIDs() []string {
	ids := make([]string, len(d.contacts))
	for i, e := range d.contacts {
		ids[i] = e.ID
	}
	return ids
}

// unsureSag is the path of the battery resistance that a contact's current
// depends on and the spec does not give: a draw of constant power grows as the
// battery sags. It is "" if the current is sure.
func (d device) unsureSag(p *rules.Pass) string {
	for _, e := range d.contacts {
		missing, known := p.Circuit.ResistanceKnown(e.From)
		if known {
			continue
		}
		for _, id := range d.controllers(p) {
			for _, mode := range p.Circuit.Modes() {
				if draw := p.Spec.Modes[mode].Draw[id]; draw != nil && draw.PowerW.Known {
					return missing
				}
			}
		}
	}
	return ""
}

// peakOf names a controller whose draw in a mode is above what it may draw for
// good, "" if there is none: such a mode cannot last.
func peakOf(p *rules.Pass, c carried) string {
	for id := range schema.Sorted(c.mode.Draw) {
		k, ok := p.Spec.Controllers[id]
		if ok && k.BatteryContinuousA.Known && p.Circuit.Solve(c.at).Current(id) > k.BatteryContinuousA.Value {
			return id
		}
	}
	return ""
}

// Time constants of the heating of contacts, in s. Vehicle contactors take ten
// minutes or more to reach their temperature, small relays some minutes
// (from memory); the shorter constant heats sooner.
const (
	contactorTauS = 600
	relayTauS     = 120
)

func (d device) tauS() float64 {
	if d.power {
		return contactorTauS
	}
	return relayTauS
}

// workingV is the highest working voltage of what the device's contacts switch,
// and adds its steps to the working: of the sources tied to them the end of
// charge, and what regeneration adds. Where that cannot be reckoned the voltage
// without it is returned with an error.
func (d device) workingV(p *rules.Pass, w *rules.Working) (v float64, found bool, err error) {
	sources := d.sources(p)
	if len(sources) == 0 {
		return 0, false, nil
	}
	v, err = capacity.HighestVoltage(p, w, sources)
	if steps := w.Steps(); len(steps) > 0 && steps[len(steps)-1].Symbol != "V_w" {
		w.Calc("V_w", "highest working voltage", "greatest of these", rules.Term(v), v, "V")
	}
	return v, v > 0, err
}

// sources lists the sources whose circuit the device's contacts switch.
func (d device) sources(p *rules.Pass) []circuit.Source { return contact.Set(d.contacts).Sources(p) }

// fullV is the voltage of the fullest source that the contacts switch, or of
// the string in series that it belongs to, at rest. It adds its steps to the
// working.
func (d device) fullV(p *rules.Pass, w *rules.Working) (v float64, found bool) {
	var fullest []circuit.Source
	for _, s := range d.sources(p) {
		if s.Role == "charger" {
			continue
		}
		if list := p.Circuit.StringOf(s); sumMaxV(list) > v {
			v, fullest = sumMaxV(list), list
		}
	}
	var numbers []string
	for _, s := range fullest {
		path := s.Path + ".max_V"
		if s.Role == "converter" {
			path = s.Path + ".output.nominal_V"
		}
		numbers = append(numbers, rules.Term(w.Given("V_"+s.ID, "highest voltage of "+s.ID, s.MaxV, "V", path)))
	}
	if v > 0 {
		w.Calc("V_w", "voltage of the full source at rest", "sum over its string", strings.Join(numbers, " + "), v, "V")
	}
	return v, v > 0
}

func sumMaxV(list []circuit.Source) (v float64) {
	for _, s := range list {
		v += s.MaxV
	}
	return v
}
