package contactor

import (
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// device is a contactor or a relay: a coil, and the contacts that it operates. Of a
// timer, whose electronics stand for a coil, the rules about coils say nothing.
type device struct {
	id       string
	base     *schema.Base
	coil     *schema.Coil
	contact  *schema.Contact
	delayS   float64         // that is declared from the beginning of the pre-charge to closing
	contacts []*circuit.Edge // a contactor has one, a changeover relay two
	power    bool            // a contactor
	timer    bool

	fed   map[string][]feed    // feeds found so far, by device id; shared by all
	in    map[string]heldOrNot // see worstHeld, likewise
	pulls map[string]pulled    // see pullsAt, likewise
}

// devices lists the contactors and relays that are wired: contactors first,
// each kind by id.
func devices(p *rules.Pass) []device {
	return rules.Shared(p, "devices", func() []device { return findDevices(p) })
}

func findDevices(p *rules.Pass) []device {
	var out []device
	fed, in, pulls := map[string][]feed{}, map[string]heldOrNot{}, map[string]pulled{}
	for id, k := range schema.Sorted(p.Spec.Contactors) {
		if !k.Spare {
			delay, _ := k.Delay()
			out = append(out, device{id: id, base: &k.Base, coil: &k.Coil, contact: &k.Contact, delayS: delay.Or(0),
				contacts: edges(p.Circuit, id+".contact"), power: true, fed: fed, in: in, pulls: pulls})
		}
	}
	for id, r := range schema.Sorted(p.Spec.Relays) {
		if !r.Spare {
			out = append(out, device{id: id, base: &r.Base, coil: &r.Coil, contact: &r.Contact,
				contacts: edges(p.Circuit, id+".no", id+".nc"), fed: fed, in: in, pulls: pulls})
		}
	}
	for id, t := range schema.Sorted(p.Spec.Timers) {
		if !t.Spare {
			out = append(out, device{id: id, base: &t.Base, coil: p.Circuit.CoilOf(id), contact: &t.Contact,
				contacts: edges(p.Circuit, id+".no"), timer: true, fed: fed, in: in, pulls: pulls})
		}
	}
	return out
}

func edges(n *circuit.Network, ids ...string) []*circuit.Edge {
	var out []*circuit.Edge
	for _, id := range ids {
		if e := n.Edge(id); e != nil {
			out = append(out, e)
		}
	}
	return out
}

// coilID is the id of the coil's edge.
func (d device) coilID() string { return d.id + ".coil" }

// coilPath and contactPath are paths of fields in the spec.
func (d device) coilPath(field string) string { return d.base.Path() + ".coil." + field }

func (d device) contactPath(field string) string { return d.base.Path() + ".contact." + field }

// opensLater reports whether its contact stays closed for a time after it has lost its
// supply.
func (d device) opensLater(p *rules.Pass) bool {
	t := p.Spec.Timers[d.id]
	return t != nil && t.Function == "off-delay"
}

// ownContacts lists the device's contacts for a case that forces them.
func (d device) ownContacts() string {
	var ids []string
	for _, e := range d.contacts {
		if e.ID != d.id+".nc" {
			ids = append(ids, e.ID)
		}
	}
	return strings.Join(ids, " ")
}

// supply are the terminals of its coil, or of a timer's electronics.
func (d device) supply() (pos, neg string) {
	if d.timer {
		return d.id + ".pos", d.id + ".neg"
	}
	return d.id + ".coil_pos", d.id + ".coil_neg"
}

// coilV is the voltage across the coil, without its sign; 0 where the coil has
// no way back to a source.
func (d device) coilV(s *circuit.Solution) float64 {
	pos, neg := d.supply()
	v, ok := s.Across(pos, neg)
	if !ok {
		return 0
	}
	return math.Abs(v)
}

// onCoil starts the result on a device's coil. It reports the check as not
// made, and false, when the circuit of the coil is not sound or not connected.
func onCoil(p *rules.Pass, d device) (*rules.Check, bool) {
	if d.timer {
		return nil, false
	}
	c := p.Subject(d.id, d.base.Path())
	if p.Unsound(c, d.id+".coil_pos", d.id+".coil_neg") {
		return nil, false
	}
	for _, terminal := range []string{d.id + ".coil_pos", d.id + ".coil_neg"} {
		if !p.Circuit.Connected(terminal) {
			c.Because("terminal-unconnected", d.id)
			c.NotChecked("a conductor on "+terminal, "the coil of %s is not connected at %s", d.id, terminal)
			return nil, false
		}
	}
	return c, true
}

// onContact is the same for a device's contacts.
func onContact(p *rules.Pass, d device) (*rules.Check, bool) {
	c := p.Subject(d.id, d.base.Path())
	for _, e := range d.contacts {
		if p.Unsound(c, p.Circuit.Terminals(e.From)[0], p.Circuit.Terminals(e.To)[0]) {
			return nil, false
		}
	}
	return c, true
}
