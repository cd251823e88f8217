package capacity

import (
	"slices"
	"strings"

	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// String is batteries in series that act as one, from the negative end up; a
// battery by itself is a string of one.
type String []circuit.Source

// Pos and Neg are its two ends.
func (s String) Pos() circuit.Node { return s[len(s)-1].Pos }

// Neg is the negative end.
func (s String) Neg() circuit.Node { return s[0].Neg }

// Name lists the ids of the batteries.
func (s String) Name() string {
	ids := make([]string, len(s))
	for i, b := range s {
		ids[i] = b.ID
	}
	return strings.Join(ids, " and ")
}

// Has reports whether a battery belongs to the string.
func (s String) Has(id string) bool {
	return slices.ContainsFunc(s, func(b circuit.Source) bool { return b.ID == id })
}

// V is the voltage of the string at rest, in V.
func (s String) V(spec *schema.Spec, at circuit.Supply) (volts float64) {
	for _, b := range s {
		volts += circuit.BatteryVoltage(spec.Batteries[b.ID], at)
	}
	return volts
}

// Ohm is the internal resistance of the string; missing is the path of the
// first battery's that the spec does not give.
func (s String) Ohm(n *circuit.Network, bound circuit.Bound) (ohm float64, missing string) {
	for _, b := range s {
		r, known := n.BatteryResistance(n.Spec.Batteries[b.ID], bound)
		if !known {
			return 0, b.Path + ".resistance_mOhm"
		}
		ohm += r
	}
	return ohm, ""
}

// Least is the smallest of a rating over the string's batteries, and the path of
// its field; missing is the path of the first battery's that the spec does not
// give.
func (s String) Least(spec *schema.Spec, field string, of func(*schema.Battery) schema.Number) (value float64, path, missing string) {
	for i, b := range s {
		n := of(spec.Batteries[b.ID])
		if !n.Known {
			return 0, "", b.Path + "." + field
		}
		if i == 0 || n.Value < value {
			value, path = n.Value, b.Path+"."+field
		}
	}
	return value, path, ""
}

// Strings lists the strings of batteries that are wired, in the order of their
// first ids.
func Strings(n *circuit.Network) []String {
	var out []String
	for _, s := range n.Sources() {
		if !s.IsBattery() || n.Spec.Batteries[s.ID].Spare || !n.Connected(s.ID+".pos") ||
			slices.ContainsFunc(out, func(list String) bool { return list.Has(s.ID) }) {
			continue
		}
		out = append(out, n.StringOf(s))
	}
	return out
}

// StringsAcross lists the strings that closed metal joins, end to end, to two
// nodes: that feed what hangs between them when every switch is closed.
func StringsAcross(n *circuit.Network, all []String, pos, neg circuit.Node) []String {
	var out []String
	for _, s := range all {
		if n.MetalJoins(s.Pos(), pos) && n.MetalJoins(s.Neg(), neg) {
			out = append(out, s)
		}
	}
	return out
}

// Share is the part of the current of strings in parallel that one of them
// takes, by their typical resistances; it is 1 for a string by itself, and
// equal parts where a resistance is not known.
func Share(n *circuit.Network, parallel []String, one String) float64 {
	var all, own float64
	for _, s := range parallel {
		ohm, missing := s.Ohm(n, circuit.Typical)
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

// Regeneration is the most that a controller feeds back, in A, and the path of
// the value: its own limit, or what a mode asks of it if that is more.
func Regeneration(spec *schema.Spec, k *schema.Controller) (a float64, path string) {
	if k.RegenA.Known {
		a, path = k.RegenA.Value, k.Path()+".regen_A"
	}
	for _, m := range schema.Sorted(spec.Modes) {
		if d := m.Draw[k.ID]; d != nil && d.RegenA.Known && d.RegenA.Value > a {
			a, path = d.RegenA.Value, m.Path()+".draw."+k.ID+".regen_A"
		}
	}
	return a, path
}

// Takes is what the strings that a controller feeds back into take together, in
// A; missing is the path of what the spec does not give. Strings in parallel
// take it by their resistances, so the one that reaches its limit first decides.
func Takes(n *circuit.Network, parallel []String) (a float64, missing string) {
	for i, s := range parallel {
		own, _, path := s.Least(n.Spec, "charge_max_A", func(b *schema.Battery) schema.Number { return b.ChargeMaxA })
		if path != "" {
			return 0, path
		}
		if all := own / Share(n, parallel, s); i == 0 || all < a {
			a = all
		}
	}
	return a, ""
}

// StringsOf lists the strings that feed a controller when every switch is closed.
func StringsOf(n *circuit.Network, all []String, controller string) []String {
	var out []String
	for _, s := range all {
		if Feeds(n, s, n.Edge(controller)) {
			out = append(out, s)
		}
	}
	return out
}

// Feeds reports whether a string can drive a current through an element.
func Feeds(n *circuit.Network, s String, e *circuit.Edge) bool {
	return e != nil && Drives(n, s.Pos(), e.From) && Drives(n, e.To, s.Neg())
}

// Charges reports whether a charger can drive a current into a string.
func Charges(n *circuit.Network, charger *circuit.Edge, s String) bool {
	return charger != nil && Drives(n, charger.From, s.Pos()) && Drives(n, s.Neg(), charger.To)
}

// Drives reports whether a current can flow from one node to another when every
// switch is closed: over metal, and through diodes in the direction in which
// they let it pass.
func Drives(n *circuit.Network, from, to circuit.Node) bool {
	return from == to || n.Path(from, to, func(e *circuit.Edge, enter circuit.Node) (float64, bool) {
		return 1, e.Conducts() || e.Kind == circuit.DiodeEdge && enter == e.From
	}) != nil
}

// ChargeExceeded reports whether a controller can feed back more than its
// batteries take.
func ChargeExceeded(n *circuit.Network, k *schema.Controller) bool {
	a, _ := Regeneration(n.Spec, k)
	takes, missing := Takes(n, StringsOf(n, Strings(n), k.ID))
	return missing == "" && takes > 0 && a > takes*(1+1e-9)
}
