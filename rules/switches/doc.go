// Package switches holds the rules of the switches family: what the poles of
// hand-operated switches, and the contacts of relays, withstand of voltage,
// current and kind of load.
package switches

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// family is what the rules of this package belong to.
const family = "switches"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		poleVoltageLow(),
		contactVoltageACOnly(),
		polesVoltageLow(),
		poleCarryLow(),
		poleLoadKindLow(),
		poleMakeLow(),
		relayLoadKindLow(),
		cutoutOpensLate(),
		cutoutRestartsDrive(),
	}
}

// pole is a pole of a switch that is wired.
type pole struct {
	*schema.Pole
	sw   *schema.Switch
	id   string // as key.house
	edge *circuit.Edge
}

// set is the pole as a set of contacts.
func (k pole) set() demand.Element { return demand.Element{k.edge} }

// path is the path of the pole in the spec, or of one of its fields.
func (k pole) path(field string) string {
	path := k.sw.Path() + ".poles." + k.id[len(k.sw.ID)+1:]
	if field != "" {
		path += "." + field
	}
	return path
}

// poles lists the poles of which both terminals are connected, by switch and
// pole. Those of a spare switch, and unused ones, are left out.
func poles(p *rules.Pass) []pole {
	var out []pole
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		if !sw.Spare {
			out = append(out, polesOf(p, id, sw)...)
		}
	}
	return out
}

func polesOf(p *rules.Pass, id string, sw *schema.Switch) []pole {
	var out []pole
	for name, x := range schema.Sorted(sw.Poles) {
		k := pole{x, sw, id + "." + name, p.Circuit.Edge(id + "." + name)}
		if p.Circuit.Connected(k.id+"_a") && p.Circuit.Connected(k.id+"_b") {
			out = append(out, k)
		}
	}
	return out
}

// check starts the result on every pole whose circuit is sound, and leaves the
// verdict to eval.
func check(eval func(*rules.Check, *rules.Pass, pole)) func(*rules.Pass) {
	return func(p *rules.Pass) {
		for _, k := range poles(p) {
			c := p.Subject(k.id, k.path(""))
			if !k.set().Unsound(p, c) {
				eval(c, p, k)
			}
		}
	}
}

// graver makes the finding on a switch or relay an error if the main circuit hangs on it:
// contacts that weld there no longer cut it off.
func graver(c *rules.Check, p *rules.Pass, id string) {
	if p.Circuit.CutsOff(id) {
		c.Level(rules.Error)
	}
}

// uses lists the greatest current of a contact in each mode that closes it. It
// reports the check as not made, and false, where that is not known.
func uses(c *rules.Check, p *rules.Pass, id string, set demand.Element) ([]demand.Use, bool) {
	all, ok := demand.For(p).Known(c, id, set)
	if !ok {
		return nil, false
	}
	var closed []demand.Use
	for _, u := range all {
		if p.Circuit.Solve(u.At).Closed(set[0].ID) {
			closed = append(closed, u)
		}
	}
	if len(closed) == 0 {
		c.NotChecked("a mode that closes "+id, "%s: no mode closes it", id)
		return nil, false
	}
	return closed, true
}
