// Package connector holds the rules of the connector family: what its contacts carry and
// withstand, what happens when a hand parts it under load or mates it onto empty
// capacitors, what can be touched then, and what fits where it should not.
package connector

import (
	"slices"
	"strconv"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// family is what the rules of this package belong to.
const family = "connector"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		overloaded(),
		voltageLow(),
		partsUnderLoad(),
		endLive(),
		loadStaysLive(),
		pilotSlow(),
		pilotInReturn(),
		inrushHigh(),
		firstMateShort(),
		mixedUp(),
		worn(),
	}
}

// plug is a connector that is wired, with its contacts.
type plug struct {
	*schema.Connector
	power demand.Element // wired at both ends, those of the pilot left out
	pilot demand.Element
}

// plugs lists the connectors that are wired, by id.
func plugs(p *rules.Pass) (out []plug) {
	for id, k := range schema.Sorted(p.Spec.Connectors) {
		if k.Spare {
			continue
		}
		x := plug{Connector: k}
		for i, e := range p.Circuit.PlugContacts(id) {
			n := strconv.Itoa(i + 1)
			switch {
			case !p.Circuit.Connected(id+".a"+n) || !p.Circuit.Connected(id+".b"+n):
			case k.Pilots(i + 1):
				x.pilot = append(x.pilot, e)
			default:
				x.power = append(x.power, e)
			}
		}
		if len(x.power)+len(x.pilot) > 0 {
			out = append(out, x)
		}
	}
	return out
}

// each starts a check of every connector that has power contacts and whose circuit can
// be computed.
func each(p *rules.Pass, eval func(*rules.Check, plug)) {
	for _, k := range plugs(p) {
		c := p.Subject(k.ID, k.Path())
		if len(k.power) > 0 && !k.power.Unsound(p, c) {
			eval(c, k)
		}
	}
}

// all lists the contacts of the connector, those of the pilot included.
func (k plug) all() demand.Element { return slices.Concat(k.power, k.pilot) }

// contact is the contact of an edge, and the path of it.
func (k plug) contact(e *circuit.Edge) (contact schema.PlugContact, path string) {
	number := e.ID[len(k.ID)+1:]
	contact, _ = k.ContactOf(number)
	n, _ := strconv.Atoi(number) // the ids of the circuit count from 1
	return contact, k.Path() + ".contacts." + strconv.Itoa(n-1)
}

// workingV is the highest working voltage in V of what the contacts connect, and adds its
// steps to the working; not found without a source.
func (k plug) workingV(c *rules.Check, p *rules.Pass) (v float64, found bool, err error) {
	return demand.SwitchedV(p, c.Working, k.power)
}

// heavy reports whether a hand parts the connector in daily use: the plug of a battery or
// a charger, whatever holds it.
func (k plug) heavy() bool { return k.Use == "battery" || k.Use == "inlet" }
