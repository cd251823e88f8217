// Package contact tells what the contacts of a disconnect, switch, relay or
// contactor meet in their place: their current mode by mode, the highest voltage
// of their circuit, and the consumers that they feed; and what their ratings
// give for a time and at a voltage.
package contact

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Set is the contacts of one part that move together: a pole by itself, or all
// poles of a disconnect.
type Set []*circuit.Edge

// Has reports whether an edge is one of the contacts.
func (s Set) Has(e *circuit.Edge) bool { return slices.Contains(s, e) }

// IDs lists the ids of the contacts.
func (s Set) IDs() []string {
	ids := make([]string, len(s))
	for i, e := range s {
		ids[i] = e.ID
	}
	return ids
}

// Unsound is Pass.Unsound for the terminals of the contacts.
func (s Set) Unsound(p *rules.Pass, c *rules.Check) bool {
	for _, e := range s {
		if p.Unsound(c, p.Circuit.Terminals(e.From)[0], p.Circuit.Terminals(e.To)[0]) {
			return true
		}
	}
	return false
}

// Use is the greatest current of a part's contacts in one mode, in A, from the
// contact's first terminal to its second; against that direction it is negative.
type Use struct {
	Mode *schema.Mode
	Edge *circuit.Edge
	A    float64
	At   circuit.Case
}

// Corners are the states of a mode in which the current of a contact can be
// greatest: constant power draws most from an empty battery, resistance from a
// full one.
func Corners(p *rules.Pass, mode string) []circuit.Case {
	corners := []circuit.Case{
		{Mode: mode, Pack: circuit.Lowest},
		{Mode: mode, Pack: circuit.Lowest, House: circuit.Alone, Auxiliary: circuit.Lowest},
		{Mode: mode, Pack: circuit.Highest},
	}
	for _, b := range schema.Sorted(p.Spec.Batteries) {
		if b.Role == "auxiliary" {
			full := circuit.Case{Mode: mode, Pack: circuit.Highest, House: circuit.Alone, Auxiliary: circuit.Highest}
			return append(corners, full.WithCopper(p.Spec.Vehicle.AmbientC.Min))
		}
	}
	return corners
}

// Uses lists the greatest current of the contacts in each mode, by mode. Failed
// is a solution that they cannot rest on; Check.Unsettled reports it.
func (s Set) Uses(p *rules.Pass) (out []Use, failed *circuit.Solution) {
	for id, mode := range schema.Sorted(p.Spec.Modes) {
		worst := Use{Mode: mode, Edge: s[0], At: circuit.Case{Mode: id}}
		for _, k := range Corners(p, id) {
			solution := p.Circuit.Solve(k)
			if !solution.Settled(s.IDs()...) {
				return nil, solution
			}
			for _, e := range s {
				// Of equal currents the first counts, whatever the last digits say.
				if i := solution.Current(e.ID); math.Abs(i) > math.Abs(worst.A)*(1+1e-9) {
					worst = Use{mode, e, i, k}
				}
			}
		}
		out = append(out, worst)
	}
	return out, nil
}

// Backwards reports whether what controllers draw flows from the second terminal
// to the first in every mode, so that a polarized part is the wrong way round.
func Backwards(uses []Use) bool {
	against := false
	for _, u := range uses {
		for _, draw := range u.Mode.Draw {
			switch drawn := draw.CurrentA.Or(0) > 0 || draw.PowerW.Or(0) > 0; {
			case drawn && u.A > leastA:
				return false
			case drawn && u.A < -leastA:
				against = true
			}
		}
	}
	return against
}

// leastA is a current in A that counts as one.
const leastA = 1e-3

// Worst is the use with the greatest current in a list that is not empty.
func Worst(uses []Use) Use {
	return slices.MaxFunc(uses, func(a, b Use) int {
		switch x, y := math.Abs(a.A), math.Abs(b.A); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
}

// ForDuty is the uses as a thermal duty takes them, without their sign.
func ForDuty(uses []Use) []capacity.Use {
	out := make([]capacity.Use, len(uses))
	for i, u := range uses {
		out[i] = capacity.Use{Mode: u.Mode, A: math.Abs(u.A), At: u.At}
	}
	return out
}

// UnsureSag is the path of the battery resistance that the current depends on
// and the spec does not give, for a draw of constant power grows as the battery
// sags; "" if the current is sure.
func (s Set) UnsureSag(p *rules.Pass) string {
	for _, e := range s {
		missing, known := p.Circuit.ResistanceKnown(e.From)
		if known {
			continue
		}
		for id := range schema.Sorted(p.Spec.Controllers) {
			if !p.Circuit.SameNetwork(p.Circuit.Edge(id).From, e.From) {
				continue
			}
			for _, mode := range p.Circuit.Modes() {
				if draw := p.Spec.Modes[mode].Draw[id]; draw != nil && draw.PowerW.Known {
					return missing
				}
			}
		}
	}
	return ""
}

// Endless names a controller whose draw in a mode that lasts continuously is above
// what it may draw continuously, "" if there is none: such a mode lacks its duration.
func Endless(p *rules.Pass, u Use) string {
	if !capacity.Lasting(p.Spec, u.Mode) {
		return ""
	}
	for id := range schema.Sorted(u.Mode.Draw) {
		k, ok := p.Spec.Controllers[id]
		if ok && k.BatteryContinuousA.Known && p.Circuit.Solve(u.At).Current(id) > k.BatteryContinuousA.Value {
			return id
		}
	}
	return ""
}

// WorkingV is the highest working voltage in V of what the contacts switch, and
// adds its steps to the working: of the sources tied to them the end of charge,
// and what regeneration adds. Where that cannot be reckoned the voltage without
// it is returned with a *capacity.Missing.
func (s Set) WorkingV(p *rules.Pass, w *rules.Working) (v float64, found bool, err error) {
	sources := s.Sources(p)
	if len(sources) == 0 {
		return 0, false, nil
	}
	v, err = capacity.HighestVoltage(p, w, sources)
	return v, v > 0, err
}

// Sources lists the sources whose circuit the contacts switch.
func (s Set) Sources(p *rules.Pass) []circuit.Source { return p.Circuit.SourcesSwitched(s...) }

// Behind lists the consumers that the contacts feed in a solved state.
func (s Set) Behind(p *rules.Pass, state *circuit.Solution) []*circuit.Edge {
	return p.Circuit.Behind(state, s...)
}

// BreakCorner says in words where the two halves of a breaking duty come from:
// the current from a solved case, the voltage from the end of charge. They are not
// met at one moment; ratings are stated for a voltage, and the arc of a current that
// a nearly empty pack drives is no proof for a full one.
func BreakCorner(current circuit.Case) string {
	return "current with " + current.String() + "; voltage at its highest"
}

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
