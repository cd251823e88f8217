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
	MOhm    float64
	What    string
	Numbers string // the sum that gives it, "" where it is declared as it stands
	Path    string // of the number that it rests on: of the spec, or of the policy where a default stands in
	Source  string // of a published number in it, "" where there is none
}

// ResistanceOf is the resistance of metal on the way of a current, the copper of
// conductors at a temperature in C. It is false for what is not a plain
// resistance: sources, diodes, consumers.
func ResistanceOf(p *rules.Pass, e *circuit.Edge, copperC float64) (Resistance, bool) {
	switch part := p.Spec.Part(e.Part).(type) {
	case *schema.Fuse:
		return overRating(p, "fuse "+e.Part+": drop at its rating over that", part.DropMV, part.Path()+".drop_mV", p.Spec.Policy.FuseDropMV, "policy.fuse_drop_mV", part.RatedA), true
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
	case *schema.Switch:
		return contact(p, e, schema.Number{}, "", part.Poles[e.ID[len(e.Part)+1:]].CarryA), true
	case *schema.Controller:
		if e.Kind == circuit.SwitchEdge {
			return contact(p, e, schema.Number{}, "", part.CoilOut.MaxA), true
		}
	case *schema.Shunt:
		return Resistance{MOhm: part.DropMV / part.RatedA, What: "shunt " + e.Part + ": millivolts over amperes",
			Numbers: rules.Term(part.DropMV) + " / " + rules.Term(part.RatedA), Path: part.Path() + ".drop_mV"}, true
	case *schema.Resistor:
		return Resistance{MOhm: 1000 * part.ResistanceOhm, What: "resistor " + e.Part, Path: part.Path() + ".resistance_Ohm"}, true
	}
	return conductorResistance(p, e, copperC)
}

// conductorResistance is that of a wire or bus bar.
func conductorResistance(p *rules.Pass, e *circuit.Edge, copperC float64) (Resistance, bool) {
	r := Resistance{MOhm: 1000 * p.Circuit.ConductorResistance(e.ID, copperC)}
	var metre string // mOhm/m at 20 C
	var metres float64
	if wire, ok := p.Spec.Wires[e.ID]; ok {
		size, err := calc.ParseSize(wire.Size)
		if err != nil {
			return Resistance{}, false
		}
		if wire.Tinned {
			size = size.Tinned()
		}
		metre, metres = rules.Term(1000*size.R20), wire.LengthM
		r.What, r.Path, r.Source = fmt.Sprintf("wire %s, %s, %s m", e.ID, wire.Size, rules.Term(metres)), wire.Path()+".length_m", size.ResistanceSource()
	} else if b, ok := p.Spec.Busbars[e.ID]; ok {
		bar := circuit.BarOf(b)
		metre, metres = fmt.Sprintf("%s / (%s * %s)", rules.Term(1000*bar.Metal.Resistivity20), rules.Term(b.WidthMM), rules.Term(b.ThicknessMM)), b.LengthMM/1000
		r.What = fmt.Sprintf("bus bar %s, %s x %s mm, %s m, %s", e.ID, rules.Term(b.WidthMM), rules.Term(b.ThicknessMM), rules.Term(metres), bar.Metal.Name)
		r.Path, r.Source = b.Path()+".length_mm", "IEC 60028"
	} else {
		return Resistance{}, false
	}
	r.Numbers = metre + " * " + rules.Term(metres)
	if joint := p.Spec.Policy.JointResistanceMOhm; joint != 0 {
		r.Numbers = "(" + r.Numbers + " + 2 * " + rules.Term(joint) + ")"
		r.What += ", and both its joints by policy.joint_resistance_mOhm"
	}
	r.Numbers += fmt.Sprintf(" * (1 + %s * (%s - 20))", rules.Term(calc.CopperAlpha20), rules.Term(copperC))
	return r, true
}

// contact is the resistance of a closed contact or switch.
func contact(p *rules.Pass, e *circuit.Edge, declared schema.Number, path string, carry schema.Number) Resistance {
	if declared.Known {
		return Resistance{MOhm: declared.Value, What: "contact " + e.ID, Path: path}
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
	return Resistance{MOhm: drop / ratedA, What: what, Numbers: rules.Term(drop) + " / " + rules.Term(ratedA), Path: path}
}

// Work adds the resistance to a working, marked as what it is, and returns it
// in mOhm.
func (r Resistance) Work(w *rules.Working, symbol string) float64 {
	what := r.What
	if r.Source != "" {
		what += "; at 20 C by " + r.Source
	}
	if r.Numbers == "" {
		return w.Given(symbol, what, r.MOhm, "mOhm", r.Path)
	}
	return w.Derived(symbol, what, "", r.Numbers, r.MOhm, "mOhm", r.Path)
}
