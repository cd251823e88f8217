package capacity

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Breaks is the greatest current in A that is rated to be interrupted at a
// voltage, and which of the ratings says so; -1 if none covers the voltage.
func Breaks(ratings []schema.BreakRating, v float64) (a float64, index int) {
	index = -1
	for i, b := range ratings {
		if b.V >= v && (index < 0 || b.A > a) {
			a, index = b.A, i
		}
	}
	return a, index
}

// MakeA is the making capacity of a contact, and the path of it.
func MakeA(p *rules.Pass, e *circuit.Edge) (schema.Number, string) {
	switch x := p.Spec.Part(e.Part).(type) {
	case *schema.Disconnect:
		return x.MakeA, x.Path() + ".make_A"
	case *schema.Contactor:
		return x.Contact.MakeA, x.Path() + ".contact.make_A"
	case *schema.Relay:
		return x.Contact.MakeA, x.Path() + ".contact.make_A"
	case *schema.Timer:
		return x.Contact.MakeA, x.Path() + ".contact.make_A"
	case *schema.Switch:
		pole := e.ID[len(e.Part)+1:]
		return x.Poles[pole].MakeA, x.Path() + ".poles." + pole + ".make_A"
	}
	return schema.Number{}, ""
}

// ShortTimeA is the current in A that a contact carries for a time in s, from
// its short-time ratings: log-log between two of them, as their points lie on a
// curve; that of the shortest below it, and what it carries continuously above the
// longest. Below the shortest more may be possible: sure is then false.
func ShortTimeA(contact *schema.Contact, s float64) (a float64, sure bool) {
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
