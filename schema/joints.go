package schema

import "slices"

// Stud is a joint: a terminal block or a stud on which several lugs meet. It
// has the one terminal stud.
type Stud struct {
	Base
	Threaded
	Material    string `json:"material"`
	RatedA      Number `json:"rated_A"`
	ClearanceMM Number `json:"clearance_mm"`
	CreepageMM  Number `json:"creepage_mm"`
}

// Block is a distribution block or terminal bar: one piece of metal with several ways,
// which are its terminals.
type Block struct {
	Base
	Threaded
	Ways        map[string]*Way `json:"ways"`
	RatedA      Number          `json:"rated_A"` // of its bar
	RatedVdc    Number          `json:"rated_V_dc"`
	RatedVac    Number          `json:"rated_V_ac"` // for the record only
	MaxC        Number          `json:"max_C"`      // of its base
	ClearanceMM Number          `json:"clearance_mm"`
	CreepageMM  Number          `json:"creepage_mm"`
}

// Way is one way of a block: a stud, or a clamp.
type Way struct {
	RatedA Number `json:"rated_A"`
	Clamp  *Clamp `json:"clamp"` // nil for a stud
}

// Clamp is what a clamping terminal holds.
type Clamp struct {
	Min   string `json:"min"` // the smallest size of conductor
	Max   string `json:"max"`
	Wires int    `json:"wires"` // conductors under one clamp
}

// Terminals lists the terminal of a stud.
func (*Stud) Terminals() []Terminal { return required("stud") }

// Terminals lists the ways of a block, none of which has to be used.
func (b *Block) Terminals() []Terminal {
	names := make([]string, 0, len(b.Ways))
	for name := range b.Ways {
		names = append(names, name)
	}
	slices.Sort(names)
	return optional(names...)
}
