package schema

import (
	"encoding/json"
)

// Number is a number of the spec that may be absent. A value that comes from a
// default of the definitions is Known; Spec.Given tells whether a person wrote it.
type Number struct {
	Value float64
	Known bool
}

// Some returns a known number.
func Some(v float64) Number { return Number{Value: v, Known: true} }

// Or returns the number's value, or fallback when it is absent.
func (n Number) Or(fallback float64) float64 {
	if n.Known {
		return n.Value
	}
	return fallback
}

// MarshalJSON writes the number, or null when it is absent.
func (n Number) MarshalJSON() ([]byte, error) {
	if !n.Known {
		return []byte("null"), nil
	}
	return json.Marshal(n.Value)
}

// Range is a value that is known as a minimum, a typical and a maximum. In the
// spec a plain number sets the typical value alone.
type Range struct {
	Min, Typ, Max Number
}

// MarshalJSON writes the number of a range that is known as its typical value
// alone, else an object with what is known.
func (r Range) MarshalJSON() ([]byte, error) {
	if !r.Min.Known && !r.Max.Known {
		return json.Marshal(r.Typ)
	}
	known := map[string]float64{}
	for name, n := range map[string]Number{"min": r.Min, "typ": r.Typ, "max": r.Max} {
		if n.Known {
			known[name] = n.Value
		}
	}
	return json.Marshal(known)
}
