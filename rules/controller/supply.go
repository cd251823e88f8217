package controller

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// drive is a controller that is wired, and the strings of batteries that feed it.
type drive struct {
	*schema.Controller
	edge    *circuit.Edge
	strings []circuit.SeriesString
}

// drives lists the controllers that are wired, by id.
func drives(p *rules.Pass) []drive {
	return rules.Shared(p, "drives", func() (out []drive) {
		for id, k := range schema.Sorted(p.Spec.Controllers) {
			e := p.Circuit.Edge(id)
			if k.Spare || e == nil || !p.Circuit.Connected(id+".pos") || !p.Circuit.Connected(id+".neg") {
				continue // an unconnected terminal has a finding of its own
			}
			out = append(out, drive{k, e, p.Circuit.StringsFeeding(id)})
		}
		return out
	})
}

// each runs a check over the controllers whose circuit is sound. Those that no
// battery feeds are reported as not checked.
func each(p *rules.Pass, check func(*rules.Check, drive)) {
	eachSound(p, func(c *rules.Check, d drive) {
		if len(d.strings) == 0 {
			d.noBattery(c)
			return
		}
		check(c, d)
	})
}

// eachSound runs a check over the controllers whose circuit is sound, whether a battery
// feeds them or not.
func eachSound(p *rules.Pass, check func(*rules.Check, drive)) {
	for _, d := range drives(p) {
		if c := p.Subject(d.ID, d.Path()); !p.Unsound(c, d.ID+".pos", d.ID+".neg") {
			check(c, d)
		}
	}
}

// noBattery reports a check as not made, since no battery feeds the controller.
func (d drive) noBattery(c *rules.Check) {
	c.NotChecked("a battery for "+d.ID, "%s is not connected to a battery at both poles", d.ID)
}

// chargers lists the chargers whose voltage can reach the controller.
func (d drive) chargers(p *rules.Pass) (out []circuit.Source) {
	for _, s := range p.Circuit.Sources() {
		if s.Role == "charger" && !p.Circuit.Out(s.ID) && !p.Spec.Part(s.ID).Common().Spare && p.Circuit.Connected(s.ID+".pos") &&
			p.Circuit.Drives(s.Pos, d.edge.From) && p.Circuit.Drives(d.edge.To, s.Neg) {
			out = append(out, s)
		}
	}
	return out
}

// sources lists one battery of each string, and the chargers.
func (d drive) sources(p *rules.Pass) (out []circuit.Source) {
	for _, s := range d.strings {
		out = append(out, s[0])
	}
	return append(out, d.chargers(p)...)
}

// terminalV is the voltage at the controller's supply in a state.
func (d drive) terminalV(s *circuit.Solution) float64 { return s.V(d.edge.From) - s.V(d.edge.To) }
