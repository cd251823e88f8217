package contactor

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

// currents lists the greatest current of the device's contacts in each mode. It
// reports the check as not made, and false, where that is not known.
func (d device) currents(c *rules.Check, p *rules.Pass) ([]demand.Use, bool) {
	return demand.For(p).Known(c, d.id, d.contacts)
}

// breakCorner says in words where the two halves of a breaking duty come from: the
// current from a solved case, the voltage from the end of charge. They are not met
// at one moment; ratings are stated for a voltage, and the arc of a current that a
// nearly empty pack drives is no proof for a full one.
func breakCorner(current circuit.Case) string {
	return "current with " + current.String() + "; voltage at its highest"
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
// and adds its steps to the working: of the sources connected to them the
// end of charge, and what regeneration adds. Where that cannot be computed the voltage
// without it is returned with an error.
func (d device) workingV(p *rules.Pass, w *rules.Working) (v float64, found bool, err error) {
	sources := d.sources(p)
	if len(sources) == 0 {
		return 0, false, nil
	}
	v, err = demand.HighestVoltage(p, w, sources)
	if steps := w.Steps(); len(steps) > 0 && steps[len(steps)-1].Symbol != "V_w" {
		w.Calc("V_w", "highest working voltage", "greatest of these", rules.Term(v), v, "V")
	}
	return v, v > 0, err
}

// sources lists the sources whose circuit the device's contacts switch.
func (d device) sources(p *rules.Pass) []circuit.Source {
	return demand.SourcesSwitched(p, d.contacts)
}

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
