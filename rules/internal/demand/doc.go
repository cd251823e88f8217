// Package duty tells what the conductors of a vehicle carry, mode by mode and
// over the drive that repeats, how hot that makes them, and which voltage they
// stand at: what the rules of wires and of bus bars have in common.
package demand

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
)

// Ledger answers for the conductors of one vehicle. What it finds out is kept for
// all rules of a family.
type Ledger struct {
	*rules.Pass
	*facts
}

type facts struct {
	guards   map[string][]circuit.Guard
	heatings capacity.Heatings
	voltages map[string]voltage
	flows    map[string]*Flow
	drives   []drive
	found    bool // drives were looked for
}

// For is the ledger of the vehicle of a pass.
func For(p *rules.Pass) *Ledger {
	return &Ledger{Pass: p, facts: rules.Shared(p, "duty", func() *facts {
		return &facts{guards: p.Circuit.Guards(), voltages: map[string]voltage{}, flows: map[string]*Flow{}}
	})}
}
