// Package demand says what an element of a vehicle is asked for: what it carries in
// each mode and over the cycle, which peaks may come at any time, the voltage at
// which it works, and which value of the spec that is missing makes this unknown. It
// is the one place where these are worked out, so that parts in series are held
// against the same current: no rule has supply corners or currents of its own.
package demand

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Demands answers for the elements of one vehicle. What it finds out is kept for
// all rules of a family.
type Demands struct {
	*rules.Pass
	*facts
}

type facts struct {
	guards    map[string][]circuit.Guard
	voltages  map[string]voltage
	carried   map[string]*Carried
	own       []ownLimits
	ownFound  bool // own is filled in
	batteries []*Battery
	brief     map[*schema.Mode][]string // see briefIn
}

// For returns the demands of the vehicle of a pass.
func For(p *rules.Pass) *Demands {
	return &Demands{Pass: p, facts: rules.Shared(p, "demand", func() *facts {
		return &facts{guards: p.Circuit.Guards(), voltages: map[string]voltage{}, carried: map[string]*Carried{}, brief: map[*schema.Mode][]string{}}
	})}
}
