package demand

import "example.org/headroom/rules/internal/circuit"

// Corners are the states of the supply in which an element may carry most in a
// mode: consumers that regulate their power draw more from an empty battery,
// resistances from a full one, and with the converter off the auxiliary battery
// carries its network. The copper is at 20 C: colder would drive a little more,
// hotter is what ampacities are stated for, and all elements of a path must be held
// against one current.
func Corners(mode string) []circuit.Case {
	return []circuit.Case{
		{Mode: mode, Pack: circuit.Lowest},
		{Mode: mode, Pack: circuit.Highest},
		{Mode: mode, Pack: circuit.Lowest, House: circuit.Alone, Auxiliary: circuit.Lowest},
		{Mode: mode, Pack: circuit.Highest, House: circuit.Alone, Auxiliary: circuit.Highest},
	}
}

// cornersOf are those of the corners in which the house network is in a state.
func cornersOf(mode string, house circuit.House) (out []circuit.Case) {
	for _, k := range Corners(mode) {
		if k.House == house {
			out = append(out, k)
		}
	}
	return out
}
