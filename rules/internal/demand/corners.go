package demand

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// The corners of the supply, by what they are worst for. A rule takes them from here
// and adds what it looks for: contacts that are held, coils hot or cold, nothing drawn.

// Nominal is a mode at nominal voltages, with the converters running.
func Nominal(mode string) circuit.Case { return circuit.Case{Mode: mode} }

// Alone is Nominal with the converters off where an auxiliary battery is there.
func Alone(mode string) circuit.Case { return circuit.Case{Mode: mode, House: circuit.Alone} }

// Empty is a mode with the traction batteries empty: what regulates its power draws
// most current from them, and converters have their lowest input.
func Empty(mode string) circuit.Case { return circuit.Case{Mode: mode, Pack: circuit.Lowest} }

// Full is a mode with the traction batteries full: resistances draw most.
func Full(mode string) circuit.Case { return circuit.Case{Mode: mode, Pack: circuit.Highest} }

// EmptyAlone is Empty with the converters off and the auxiliary batteries flat.
func EmptyAlone(mode string) circuit.Case {
	return circuit.Case{Mode: mode, Pack: circuit.Lowest, House: circuit.Alone, Auxiliary: circuit.Lowest}
}

// FullAlone is Full with the converters off and the auxiliary batteries full.
func FullAlone(mode string) circuit.Case {
	return circuit.Case{Mode: mode, Pack: circuit.Highest, House: circuit.Alone, Auxiliary: circuit.Highest}
}

// FlatAlone is Alone with the auxiliary batteries flat.
func FlatAlone(mode string) circuit.Case {
	return circuit.Case{Mode: mode, House: circuit.Alone, Auxiliary: circuit.Lowest}
}

// Recharging is a mode with the converters running into flat auxiliary batteries of
// their least resistance, and nothing else that draws: all that their limits give goes
// into these, for as long as it takes.
func Recharging(mode string) circuit.Case {
	return circuit.Case{Mode: mode, Auxiliary: circuit.Lowest, Resistance: circuit.Least, Recharge: true, NoDraw: true, NoLoads: true}
}

// Weak is Empty with the batteries at their greatest resistance: cold and aged.
func Weak(mode string) circuit.Case {
	return circuit.Case{Mode: mode, Pack: circuit.Lowest, Resistance: circuit.Greatest}
}

// Bare is a full traction battery with nothing else that gives: no auxiliary battery,
// no converter, no charger; and with nothing that draws.
func Bare(mode string) circuit.Case {
	return circuit.Case{Mode: mode, Pack: circuit.Highest, House: circuit.Alone, NoAuxiliary: true, NoChargers: true, NoDraw: true, NoLoads: true}
}

// Corners are the states of the supply in which an element may carry most for a time:
// consumers that regulate their power draw more from an empty battery,
// resistances from a full one, and with the converter off the auxiliary battery
// carries its network. The copper is at 20 C: colder would drive a little more,
// hotter is what ampacities are stated for, and all elements of a path must be held
// against one current.
func Corners(mode string) []circuit.Case {
	return []circuit.Case{Empty(mode), Full(mode), EmptyAlone(mode), FullAlone(mode)}
}

// Lasting are those of the Corners in which a mode goes on for hours. A flat auxiliary
// battery delivers nothing for that long: it stands at its nominal voltage instead.
func Lasting(mode string) []circuit.Case {
	flat := EmptyAlone(mode)
	flat.Auxiliary = circuit.Nominal
	return []circuit.Case{Empty(mode), Full(mode), flat, FullAlone(mode)}
}

// CornersOf are the corners of a mode, as long as it goes on.
func CornersOf(spec *schema.Spec, m *schema.Mode) []circuit.Case {
	if Continuous(spec, m) {
		return Lasting(m.ID)
	}
	return Corners(m.ID)
}

// modeStates is a mode with its solutions in its corners, and the loads that it turns on
// and that are only briefly on in one go.
type modeStates struct {
	*schema.Mode
	corners []*circuit.Solution
	brief   []*schema.Load
}

// states lists the modes, by id, those that are implied last, in their corners: each
// element asks for them.
func (d *Demands) states() []modeStates {
	if d.modes == nil {
		for _, id := range d.Circuit.States() {
			m := modeStates{Mode: d.Circuit.Mode(id)}
			m.corners = d.solve(CornersOf(d.Spec, m.Mode))
			for _, id := range m.On {
				if load := d.Spec.Loads[id]; load != nil && load.OnS.Known {
					m.brief = append(m.brief, load)
				}
			}
			d.modes = append(d.modes, m)
		}
	}
	return d.modes
}

// solve lists the solutions of some cases.
func (d *Demands) solve(cases []circuit.Case) []*circuit.Solution {
	out := make([]*circuit.Solution, len(cases))
	for i, k := range cases {
		out[i] = d.Circuit.Solve(k)
	}
	return out
}

// cornersIn are those of the corners in which the house network is in a state.
func cornersIn(spec *schema.Spec, m *schema.Mode, house circuit.House) (out []circuit.Case) {
	for _, k := range CornersOf(spec, m) {
		if k.House == house {
			out = append(out, k)
		}
	}
	return out
}

// LowVoltage are the corners in which a consumer has least voltage: nominal, with the
// traction batteries empty, and with the auxiliary battery alone and flat; what is empty
// is at its greatest resistance. The copper is as hot as terminals may be.
func LowVoltage(p *rules.Pass, mode string) (nominal, empty, alone circuit.Case) {
	hot := p.Spec.Policy.TerminalMaxC
	empty, alone = Weak(mode).WithCopper(hot), EmptyAlone(mode).WithCopper(hot)
	alone.Resistance = circuit.Greatest
	return Nominal(mode).WithCopper(hot), empty, alone
}

// HighVoltage are the corners in which a consumer has most voltage; the copper is as
// cold as the air.
func HighVoltage(p *rules.Pass, mode string) []circuit.Case {
	cold := p.Spec.Vehicle.AmbientC.Min
	return []circuit.Case{Full(mode).WithCopper(cold), FullAlone(mode).WithCopper(cold)}
}
