package demand

import (
	"errors"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// voltage is a highest working voltage with how it comes about.
type voltage struct {
	volts float64
	steps []rules.Step
	err   error
}

// Sources lists what drives a current through a conductor: what it is guarded
// against; where nothing does, what lies in its galvanic network. A network that
// shares but its negative side with a higher one is none of that. Between a controller
// and a motor it is what feeds the controller, which switches it from phase to phase.
func (d *Demands) Sources(id string) []circuit.Source {
	if p, ok := d.Circuit.PhaseOf(d.Circuit.Edge(id)); ok {
		return d.supplying(p.Controller)
	}
	var out []circuit.Source
	for _, g := range d.guards[id] {
		out = with(out, g.Source)
	}
	if len(out) > 0 {
		return out
	}
	e := d.Circuit.Edge(id)
	for _, s := range d.Circuit.Sources() {
		if e != nil && d.Circuit.SameNetwork(e.From, s.Pos) {
			out = with(out, s)
		}
	}
	return out
}

// supplying lists the sources of a controller's supply.
func (d *Demands) supplying(controller string) []circuit.Source {
	pos, _ := d.Circuit.Node(controller + ".pos")
	return d.SourcesAt(pos)
}

// SourcesAt lists the sources of the conductors that end on a node.
func (d *Demands) SourcesAt(v circuit.Node) []circuit.Source {
	var out []circuit.Source
	for _, e := range d.Circuit.ConductorsAt(v) {
		for _, s := range d.Sources(e.ID) {
			out = with(out, s)
		}
	}
	return out
}

func with(list []circuit.Source, s circuit.Source) []circuit.Source {
	if slices.ContainsFunc(list, func(x circuit.Source) bool { return x.ID == s.ID }) {
		return list
	}
	return append(list, s)
}

// WorkingV is the highest working voltage in V of the sources, and adds its steps
// to the working. Where what regeneration adds cannot be reckoned, the voltage
// without it is returned with a *rules.Missing. It is 0 without a source.
func (d *Demands) WorkingV(w *rules.Working, sources []circuit.Source) (float64, error) {
	ids := make([]string, len(sources))
	for i, s := range sources {
		ids[i] = s.ID
	}
	slices.Sort(ids)
	key := strings.Join(ids, " ")
	v, ok := d.voltages[key]
	if !ok {
		before := len(w.Steps())
		v.volts, v.err = HighestVoltage(d.Pass, w, sources)
		v.steps = slices.Clone(w.Steps()[before:])
		d.voltages[key] = v
		return v.volts, v.err
	}
	w.Add(v.steps...)
	return v.volts, v.err
}

// Volts is WorkingV without its steps.
func (d *Demands) Volts(sources []circuit.Source) (float64, error) {
	return d.WorkingV(d.Subject("", "").Working, sources)
}

// SwitchedV is the highest working voltage in V of what an element switches, and adds
// its steps to the working: of the sources tied to it the end of charge, and what
// regeneration adds. Where that cannot be computed the voltage without it is returned
// with a *rules.Missing.
func SwitchedV(p *rules.Pass, w *rules.Working, e Element) (v float64, found bool, err error) {
	sources := SourcesSwitched(p, e)
	if len(sources) == 0 {
		return 0, false, nil
	}
	v, err = HighestVoltage(p, w, sources)
	return v, v > 0, err
}

// SourcesSwitched lists the sources of what an element switches; between a controller and
// a motor those of the controller's supply.
func SourcesSwitched(p *rules.Pass, e Element) []circuit.Source {
	if x, ok := For(p).PhaseOf(e); ok {
		return For(p).supplying(x.By.ID)
	}
	return p.Circuit.SourcesSwitched(e...)
}

// NoSource reports a check as not made since no source is connected to a part.
func NoSource(c *rules.Check, name string) {
	c.NotChecked("a source for "+name, "%s: no source is connected to it", name)
}

// VoltageUnknown reports a check that would pass as not made when what regeneration
// adds to a voltage is not known, and says whether it did. The place reads like "of
// the circuit of k1", or "between k1 and k2".
func VoltageUnknown(c *rules.Check, err error, passes bool, place string) bool {
	missing := (*rules.Missing)(nil)
	if !passes || !errors.As(err, &missing) {
		return false
	}
	c.NotChecked(missing.Path, "the highest voltage %s depends on %s", place, missing.What)
	return true
}
