package capacity

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Resistance is what an edge of the circuit adds to a loop and how it comes
// about: declared, worked out from a size and a length, or by a default.
type Resistance struct {
	calc.Line // in mOhm; without numbers where it is declared as it stands
	What      string
	Path      string // of the number that it rests on: of the spec, or of the policy where a default stands in
	published string // where a number in it is published, "" where none is
}

// ResistanceOf is the resistance of metal on the way of a current, the copper of
// conductors at a temperature in C. It is false for what is not a plain
// resistance: sources, diodes, consumers.
func ResistanceOf(p *rules.Pass, e *circuit.Edge, copperC float64) (Resistance, bool) {
	switch part := p.Spec.Part(e.Part).(type) {
	case *schema.Fuse:
		return overRating(p, "fuse "+e.Part+": drop at its rating over that", part.DropMV, part.Path()+".drop_mV", p.Spec.Policy.FuseDropMV, "policy.fuse_drop_mV", part.RatedA), true
	case *schema.Breaker:
		return contact(p, e, part.ResistanceMOhm, part.Path()+".resistance_mOhm", schema.Some(part.RatedA)), true
	case *schema.Cutout:
		return contact(p, e, part.Contact.ResistanceMOhm, part.Path()+".contact.resistance_mOhm", part.Contact.CarryA), true
	case *schema.Disconnect:
		return contact(p, e, part.ResistanceMOhm, part.Path()+".resistance_mOhm", part.CarryA), true
	case *schema.Contactor:
		if e.Kind == circuit.ContactEdge {
			return contact(p, e, part.Contact.ResistanceMOhm, part.Path()+".contact.resistance_mOhm", part.Contact.CarryA), true
		}
	case *schema.Relay:
		if e.Kind == circuit.ContactEdge {
			return contact(p, e, part.Contact.ResistanceMOhm, part.Path()+".contact.resistance_mOhm", part.Contact.CarryA), true
		}
	case *schema.Timer:
		if e.Kind == circuit.ContactEdge {
			return contact(p, e, part.Contact.ResistanceMOhm, part.Path()+".contact.resistance_mOhm", part.Contact.CarryA), true
		}
	case *schema.Connector:
		if part.ResistanceUOhm.Known {
			return Resistance{Line: calc.MicroOhm(part.ResistanceUOhm.Value), What: "connector contact " + e.ID, Path: part.Path() + ".resistance_uOhm"}, true
		}
		carry, _ := part.ContactOf(e.ID[len(e.Part)+1:])
		return contact(p, e, schema.Number{}, "", carry.CarryA), true
	case *schema.Switch:
		return contact(p, e, schema.Number{}, "", part.Poles[e.ID[len(e.Part)+1:]].CarryA), true
	case *schema.Controller:
		if e.Kind == circuit.SwitchEdge {
			return contact(p, e, schema.Number{}, "", part.CoilOut.MaxA), true
		}
	case *schema.Shunt:
		return Resistance{Line: calc.RatedDropMOhm(part.DropMV, part.RatedA), What: "shunt " + e.Part + ": millivolts over amperes", Path: part.Path() + ".drop_mV"}, true
	case *schema.Resistor:
		return Resistance{Line: asDeclared(1000 * part.ResistanceOhm), What: "resistor " + e.Part, Path: part.Path() + ".resistance_Ohm"}, true
	}
	return conductorResistance(p, e, copperC)
}

// asDeclared is a resistance in mOhm that the spec gives.
func asDeclared(mOhm float64) calc.Line { return calc.Line{Value: mOhm, Unit: "mOhm"} }

// conductorResistance is that of a wire or bus bar.
func conductorResistance(p *rules.Pass, e *circuit.Edge, copperC float64) (r Resistance, ok bool) {
	joint := p.Spec.Policy.JointResistanceMOhm
	if wire, ok := p.Spec.Wires[e.ID]; ok {
		size, err := calc.ParseSize(wire.Size)
		if err != nil {
			return Resistance{}, false
		}
		if wire.Tinned {
			size = size.Tinned()
		}
		r.Line, r.published = size.JointedMOhm(wire.LengthM, joint, copperC), size.ResistanceSource()
		r.What, r.Path = fmt.Sprintf("wire %s, %s, %s m", e.ID, wire.Size, rules.Term(wire.LengthM)), wire.Path()+".length_m"
	} else if b, ok := p.Spec.Busbars[e.ID]; ok {
		bar, metres := circuit.BarOf(b), b.LengthMM/1000
		r.Line, r.published = bar.JointedMOhm(metres, joint, copperC), "IEC 60028"
		r.What = fmt.Sprintf("bus bar %s, %s x %s mm, %s m, %s", e.ID, rules.Term(b.WidthMM), rules.Term(b.ThicknessMM), rules.Term(metres), bar.Metal.Name)
		r.Path = b.Path() + ".length_mm"
	} else {
		return Resistance{}, false
	}
	if joint != 0 {
		r.What += ", and both its joints by policy.joint_resistance_mOhm"
	}
	return r, true
}

// contact is the resistance of a closed contact or switch.
func contact(p *rules.Pass, e *circuit.Edge, declared schema.Number, path string, carry schema.Number) Resistance {
	if declared.Known {
		return Resistance{Line: asDeclared(declared.Value), What: "contact " + e.ID, Path: path}
	}
	what, rated := "contact "+e.ID+": drop at its rating over that", carry.Value
	if !carry.Known {
		what, rated = "contact "+e.ID+" without a rating: drop over 10 A", circuit.AssumedPoleA
	}
	return overRating(p, what, schema.Number{}, "", p.Spec.Policy.ContactDropMV, "policy.contact_drop_mV", rated)
}

// overRating is a resistance given as the drop at a rated current.
func overRating(p *rules.Pass, what string, declared schema.Number, path string, fallback float64, policy string, ratedA float64) Resistance {
	drop := declared.Or(fallback)
	if !declared.Known {
		path = policy
	}
	return Resistance{Line: calc.RatedDropMOhm(drop, ratedA), What: what, Path: path}
}

// Explain adds the resistance to a working, marked as what it is, and returns it
// in mOhm.
func (r Resistance) Explain(w *rules.Working, symbol string) float64 {
	what := r.What
	if r.published != "" {
		what += "; at 20 C by " + r.published
	}
	return w.LineFrom(symbol, what, r.Line, r.Path)
}
