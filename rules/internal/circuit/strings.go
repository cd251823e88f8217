package circuit

import (
	"slices"
	"strings"

	"example.org/headroom/schema"
)

// SeriesString is batteries in series that act as one, from the negative end up; a
// battery by itself is a string of one.
type SeriesString []Source

// Pos and Neg are its two ends.
func (s SeriesString) Pos() Node { return s[len(s)-1].Pos }

// Neg is the negative end.
func (s SeriesString) Neg() Node { return s[0].Neg }

// Name lists the ids of the batteries.
func (s SeriesString) Name() string {
	ids := make([]string, len(s))
	for i, b := range s {
		ids[i] = b.ID
	}
	return strings.Join(ids, " and ")
}

// Has reports whether a battery belongs to the string.
func (s SeriesString) Has(id string) bool {
	return slices.ContainsFunc(s, func(b Source) bool { return b.ID == id })
}

// V is the voltage of the string at rest, in V.
func (s SeriesString) V(spec *schema.Spec, at Supply) (volts float64) {
	for _, b := range s {
		volts += BatteryVoltage(spec.Batteries[b.ID], at)
	}
	return volts
}

// Ohm is the internal resistance of the string; missing is the path of the
// first battery's that the spec does not give.
func (s SeriesString) Ohm(n *Network, bound Bound) (ohm float64, missing string) {
	for _, b := range s {
		r, known := n.BatteryResistance(n.Spec.Batteries[b.ID], bound)
		if !known {
			return 0, b.Path + ".resistance_mOhm"
		}
		ohm += r
	}
	return ohm, ""
}

// DividedBy reports whether a string falls apart between two of its batteries when
// some edges are open.
func (s SeriesString) DividedBy(n *Network, open ...*Edge) bool {
	for i := 1; i < len(s); i++ {
		if !n.Reaches(s[i-1].Pos, s[i].Neg, Without(AllClosed, open...)) {
			return true
		}
	}
	return false
}

// Strings lists the strings of batteries that are wired, in the order of their
// first ids.
func (n *Network) Strings() []SeriesString {
	var out []SeriesString
	for _, s := range n.Sources() {
		if !s.IsBattery() || n.Spec.Batteries[s.ID].Spare || !n.Connected(s.ID+".pos") ||
			slices.ContainsFunc(out, func(list SeriesString) bool { return list.Has(s.ID) }) {
			continue
		}
		out = append(out, n.StringOf(s))
	}
	return out
}

// StringsAcross lists the strings that closed metal joins, end to end, to two
// nodes: that feed what hangs between them when every switch is closed.
func (n *Network) StringsAcross(pos, neg Node) []SeriesString {
	var out []SeriesString
	for _, s := range n.Strings() {
		if n.MetalJoins(s.Pos(), pos) && n.MetalJoins(s.Neg(), neg) {
			out = append(out, s)
		}
	}
	return out
}

// Share is the part of the current of strings in parallel that one of them
// takes, by their typical resistances; it is 1 for a string by itself, and
// equal parts where a resistance is not known.
func (n *Network) Share(parallel []SeriesString, one SeriesString) float64 {
	var all, own float64
	for _, s := range parallel {
		ohm, missing := s.Ohm(n, Typical)
		if missing != "" {
			return 1 / float64(len(parallel))
		}
		all += 1 / ohm
		if s.Has(one[0].ID) {
			own = 1 / ohm
		}
	}
	if all == 0 {
		return 1
	}
	return own / all
}

// StringsFeeding lists the strings that feed a controller when every switch is closed.
func (n *Network) StringsFeeding(controller string) []SeriesString {
	var out []SeriesString
	for _, s := range n.Strings() {
		if n.Feeds(s, n.Edge(controller)) {
			out = append(out, s)
		}
	}
	return out
}

// Feeds reports whether a string can drive a current through an element.
func (n *Network) Feeds(s SeriesString, e *Edge) bool {
	return e != nil && n.Drives(s.Pos(), e.From) && n.Drives(e.To, s.Neg())
}

// Charges reports whether a charger can drive a current into a string.
func (n *Network) Charges(charger *Edge, s SeriesString) bool {
	return charger != nil && n.Drives(charger.From, s.Pos()) && n.Drives(s.Neg(), charger.To)
}

// Drives reports whether a current can flow from one node to another when every
// switch is closed: over metal, and through diodes in the direction in which
// they let it pass.
func (n *Network) Drives(from, to Node) bool { return n.Reaches(from, to, Forward) }
