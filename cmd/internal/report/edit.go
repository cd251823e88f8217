package report

import (
	"cmp"
	"fmt"
	"strings"

	"example.org/headroom/schema"
)

// Edit is one value that differs between two revisions of a vehicle, or a part,
// conductor or mode that only one of them has.
type Edit struct {
	Path   string // "wires.w4.size", or "wires.w9" for what is new or gone
	Entity string // what it belongs to: "w4", "mode climb", "vehicle", "policy"
	Field  string // "size", "coil.operate_V"; "" for what is new or gone
	Old    string // the value with its unit, "" where there was none
	New    string
	OldAt  schema.Position // in the old revision; of no line where there was none
	NewAt  schema.Position
	// Shared says that the value was edited in a package that vehicles share;
	// its places are there.
	Shared bool
}

// String says the edit in a few words: "w4 size 70 mm2 -> 50 mm2".
func (e Edit) String() string {
	switch {
	case e.Field == "" && e.Old == "":
		return e.Entity + " added"
	case e.Field == "":
		return e.Entity + " removed"
	}
	return fmt.Sprintf("%s %s %s -> %s", e.Entity, e.Field, cmp.Or(e.Old, "none"), cmp.Or(e.New, "none"))
}

// Change is a set of edits that only make sense together: a value by itself, or
// what was added, removed and rewired about the same parts.
type Change struct {
	Edits []Edit
}

// String names the change by its edits, the first few of many.
func (c Change) String() string {
	const few = 3
	var names []string
	for i, e := range c.Edits {
		if i == few {
			names = append(names, fmt.Sprintf("%d more", len(c.Edits)-few))
			break
		}
		names = append(names, e.String())
	}
	return strings.Join(names, ", ")
}

// Share is what one change does to a headroom.
type Share struct {
	Change Change
	// Factor is the headroom with this change alone over that without any; 1
	// where it does nothing. 0 stands for one that cannot be made alone.
	Factor float64
	// Last is the same with all other changes carried out before; it is worked
	// out where the changes interact, else 0.
	Last float64
}

// Cause says which changes moved a check.
type Cause struct {
	Shares []Share // those that matter, the greatest first
	// Interact says that the shares do not multiply to the whole: what one
	// change does depends on another.
	Interact bool
}

// Edit is the one edit that alone made a check move, if there is one.
func (c Cause) Edit() (Edit, bool) {
	if len(c.Shares) != 1 || len(c.Shares[0].Change.Edits) != 1 {
		return Edit{}, false
	}
	return c.Shares[0].Change.Edits[0], true
}

// Hop is one step along the way of the traction current: a part, and the
// conductor that leads to it from the part before.
type Hop struct {
	Part      string
	Conductor string // "" at the first part
}
