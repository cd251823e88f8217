package contactor

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/circuit"
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

// workingV is the highest voltage of the network that a contact switches, in V,
// and where it comes from.
type workingV struct {
	v    float64
	what string
	path string // of the value in the spec; "" where the circuit was solved
	ref  string
}

// highestWorking finds the highest voltage that a contact has to withstand and
// interrupt: of the sources tied to it the highest, at the end of charge, and
// what regeneration raises it to.
func (d device) highestWorking(p *rules.Pass, e *circuit.Edge) (workingV, bool) {
	var best workingV
	for _, s := range p.Circuit.Sources() {
		if !tied(p, s, e) {
			continue
		}
		if s.MaxV > best.v {
			best = workingV{v: s.MaxV, what: "highest voltage of " + s.ID, path: s.Path + ".max_V"}
			if s.Role == "converter" {
				best.what, best.path = "output voltage of "+s.ID, s.Path+".output.nominal_V"
			}
		}
		if s.Role != "traction" {
			continue
		}
		for _, mode := range p.Circuit.Modes() {
			if !feedsBack(p, mode) {
				continue
			}
			k := circuit.Case{Mode: mode, Pack: circuit.Highest}
			sol := p.Circuit.Solve(k)
			if v := sol.V(s.Pos) - sol.V(s.Neg); sol.Failed == "" && v > best.v*(1+1e-6) {
				best = workingV{v: v, what: "voltage at " + s.ID + " while it is fed back to", ref: "mode " + mode + ", " + k.String()}
			}
		}
	}
	return best, best.v > 0
}

// tied reports whether a contact switches the circuit of a source: whether it
// is joined to the positive pole over metal or a resistor, or lies in the
// return of a part that is.
func tied(p *rules.Pass, s circuit.Source, e *circuit.Edge) bool {
	n := p.Circuit
	reach := func(from, to circuit.Node) bool {
		return from == to || n.Path(from, to, around(e.ID)) != nil
	}
	if reach(s.Pos, e.From) || reach(s.Pos, e.To) {
		return true
	}
	for _, ends := range [][2]circuit.Node{{e.From, e.To}, {e.To, e.From}} {
		if !reach(s.Neg, ends[0]) {
			continue
		}
		for _, x := range n.Edges {
			if isConsumer(x) && (reach(x.To, ends[1]) && reach(s.Pos, x.From) || reach(x.From, ends[1]) && reach(s.Pos, x.To)) {
				return true
			}
		}
	}
	return false
}

// around is a cost for Path over metal and power resistors, past one edge.
func around(without string) func(*circuit.Edge, circuit.Node) (float64, bool) {
	return func(e *circuit.Edge, _ circuit.Node) (float64, bool) {
		isResistor := e.Kind == circuit.ResistorEdge && e.ID == e.Part
		return 1, e.ID != without && (e.Conducts() || isResistor)
	}
}

func isConsumer(e *circuit.Edge) bool {
	switch e.Kind {
	case circuit.LoadEdge, circuit.ControllerEdge, circuit.ConverterInput, circuit.CoilEdge:
		return true
	}
	return false
}

// step adds the highest working voltage to the working, and returns it.
func (w workingV) step(c *rules.Check) float64 {
	if w.path == "" {
		return c.Solved("V_w", w.what, w.v, "V", w.ref)
	}
	return c.Given("V_w", w.what, w.v, "V", w.path)
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

