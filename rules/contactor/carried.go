package contactor

import (
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/circuit"
	"example.org/headroom/rules/rating"
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
// by mode. Failed is a solution that could not be found.
func (d device) currents(p *rules.Pass) (out []carried, failed *circuit.Solution) {
	for id, mode := range schema.Sorted(p.Spec.Modes) {
		worst := carried{mode: mode, edge: d.contacts[0], at: circuit.Case{Mode: id}}
		for _, k := range corners(id) {
			s := p.Circuit.Solve(k)
			if s.Failed != "" {
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

// unsolved reports that the currents of a device could not be found.
func unsolved(c *rules.Check, s *circuit.Solution) {
	c.NotChecked("a solution of mode "+s.Case.Mode, "the circuit of mode %s could not be solved: %s", s.Case.Mode, s.Failed)
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

// cyclic is the steady current in A that heats a contact as much as the peak
// of a cycle does: stepA for lastsS out of every everyS (+Inf if the step does
// not come back), baseA in between. A cycle short against the time constant
// gives its root mean square. Source: the thermal replica of IEC 60255-149 in
// its periodic state.
func cyclic(stepA, lastsS, baseA, everyS, tauS float64) float64 {
	share := -math.Expm1(-lastsS/tauS) / -math.Expm1(-everyS/tauS)
	heat := baseA*baseA + (stepA*stepA-baseA*baseA)*share
	return math.Sqrt(math.Max(heat, baseA*baseA))
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
	v, err = rating.HighestVoltage(p, w, sources)
	if steps := w.Steps(); len(steps) > 0 && steps[len(steps)-1].Symbol != "V_w" {
		w.Calc("V_w", "highest working voltage", "greatest of these", figure(v), v, "V")
	}
	return v, v > 0, err
}

// sources lists the sources whose circuit the device's contacts switch.
func (d device) sources(p *rules.Pass) []circuit.Source {
	var out []circuit.Source
	for _, s := range p.Circuit.Sources() {
		if slices.ContainsFunc(d.contacts, func(e *circuit.Edge) bool { return tied(p, s, e) }) {
			out = append(out, s)
		}
	}
	return out
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
		if list := rating.SeriesString(p.Circuit, s); sumMaxV(list) > v {
			v, fullest = sumMaxV(list), list
		}
	}
	var numbers []string
	for _, s := range fullest {
		path := s.Path + ".max_V"
		if s.Role == "converter" {
			path = s.Path + ".output.nominal_V"
		}
		numbers = append(numbers, figure(w.Given("V_"+s.ID, "highest voltage of "+s.ID, s.MaxV, "V", path)))
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

// tied reports whether a contact switches the circuit of a source: whether it
// is joined to the positive pole over metal or a resistor, or lies in the
// return of a part that is.
func tied(p *rules.Pass, s circuit.Source, e *circuit.Edge) bool {
	pos := reached(p, s.Pos, e.ID)
	if pos[e.From] || pos[e.To] {
		return true
	}
	neg := reached(p, s.Neg, e.ID)
	for _, ends := range [][2]circuit.Node{{e.From, e.To}, {e.To, e.From}} {
		if !neg[ends[0]] {
			continue
		}
		far := reached(p, ends[1], e.ID)
		for _, x := range p.Circuit.Edges {
			if isConsumer(x) && (far[x.To] && pos[x.From] || far[x.From] && pos[x.To]) {
				return true
			}
		}
	}
	return false
}

// reached marks the nodes that metal, everything closed, and the resistors that
// lie in series with consumers join to a node, without passing one edge.
func reached(p *rules.Pass, from circuit.Node, without string) map[circuit.Node]bool {
	marked := map[circuit.Node]bool{from: true}
	for queue := []circuit.Node{from}; len(queue) > 0; queue = queue[1:] {
		for _, e := range p.Circuit.EdgesAt(queue[0]) {
			w := e.Other(queue[0])
			if !marked[w] && e.ID != without && (e.Conducts() || inSeries(p, e)) {
				marked[w] = true
				queue = append(queue, w)
			}
		}
	}
	return marked
}

// inSeries reports whether an edge is a resistor that consumers are fed through.
func inSeries(p *rules.Pass, e *circuit.Edge) bool {
	if e.Kind != circuit.ResistorEdge {
		return false
	}
	r, ok := p.Spec.Resistors[e.Part]
	return ok && (r.Role == "precharge" || r.Role == "dropper")
}

func isConsumer(e *circuit.Edge) bool {
	switch e.Kind {
	case circuit.LoadEdge, circuit.ControllerEdge, circuit.ConverterInput, circuit.CoilEdge:
		return true
	}
	return false
}

// breaks is the greatest current that a contact is rated to interrupt at a
// voltage, and which of its ratings says so; -1 if none covers the voltage.
func breaks(contact *schema.Contact, v float64) (a float64, index int) {
	index = -1
	for i, b := range contact.Break {
		if b.V >= v && (index < 0 || b.A > a) {
			a, index = b.A, i
		}
	}
	return a, index
}

// shortTimeA is the current that a contact carries for a time, from its
// short-time ratings: log-log between two of them, as their points lie on a
// curve; that of the shortest below it, and what it carries for good above the
// longest. Below the shortest more may be possible: sure is then false.
func shortTimeA(contact *schema.Contact, s float64) (a float64, sure bool) {
	a, sure = contact.CarryA.Value, true
	var shorter, longer *schema.ShortTime
	for i := range contact.ShortTime {
		switch r := &contact.ShortTime[i]; {
		case r.S >= s && (longer == nil || r.S < longer.S || r.S == longer.S && r.A > longer.A):
			longer = r
		case r.S < s && (shorter == nil || r.S > shorter.S):
			shorter = r
		}
	}
	switch {
	case longer == nil:
		return a, true
	case shorter == nil:
		return math.Max(a, longer.A), longer.S == s
	}
	share := math.Log(s/shorter.S) / math.Log(longer.S/shorter.S)
	return math.Max(a, shorter.A*math.Pow(longer.A/shorter.A, share)), true
}
