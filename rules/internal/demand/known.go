package demand

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// Known lists what an element, of a part by its id, carries in each mode. It
// reports the check as not made, and false, where that is not known: between a controller and
// a motor, whose current is a [Phase], without modes,
// with a mistake in the cycle, in a circuit that does not settle, and where the
// current grows as a battery of unknown resistance sags.
func (d *Demands) Known(c *rules.Check, id string, e Element) ([]Use, bool) {
	if d.InPhase(c, id, e) || CycleUnknown(c, d.Spec) {
		return nil, false
	}
	uses, failed := d.Uses(e)
	if failed != nil {
		c.Unsettled(failed, e.IDs()...)
		return nil, false
	}
	return uses, d.known(c, id, d.missingResistance(e))
}

// known is the end of the ladder for what has been solved.
func (d *Demands) known(c *rules.Check, id, missing string) bool {
	switch {
	case len(d.Spec.Modes) == 0:
		c.NotChecked("modes", "no mode gives the current of %s", id)
	case missing != "":
		c.NotChecked(missing, "the current of %s rises as the battery voltage sags; the battery's resistance is not given", id)
	default:
		return true
	}
	return false
}

// missingResistance is the path of the battery resistance that the current of an
// element rests on and the spec does not give, for a draw of constant power grows as
// the battery sags; "" if the current is sure.
func (d *Demands) missingResistance(e Element) string {
	for _, x := range e {
		missing, known := d.Circuit.ResistanceKnown(x.From)
		if known {
			continue
		}
		for _, mode := range d.Circuit.States() {
			for id, draw := range schema.Sorted(d.Circuit.Mode(mode).Draw) {
				if draw.PowerW.Known && d.shares(x, id, circuit.Case{Mode: mode, Pack: circuit.Lowest}) {
					return missing
				}
			}
		}
	}
	return ""
}

// Overdrawn names a controller that draws more through an element than it may
// continuously, in a mode that nothing ends: such a mode lacks its duration. It is ""
// if there is none.
func (d *Demands) Overdrawn(e Element, u Use) string {
	if !Continuous(d.Spec, u.Mode) {
		return ""
	}
	s := d.Circuit.Solve(u.At)
	for id := range schema.Sorted(u.Mode.Draw) {
		k, ok := d.Spec.Controllers[id]
		const rounding = 1e-6
		if !ok || !k.BatteryContinuousA.Known || s.Current(id) <= k.BatteryContinuousA.Value*(1+rounding) {
			continue
		}
		for _, x := range e {
			if d.shares(x, id, u.At) {
				return id
			}
		}
	}
	return ""
}

// sag is the share of a controller's current below which an edge is not taken to
// carry any of it: what a branch beside it changes as the battery sags.
const sag = 0.02

// shares reports whether an edge carries current that a controller draws or feeds
// back in a case.
func (d *Demands) shares(e *circuit.Edge, controller string, k circuit.Case) bool {
	share, _, ok := d.share(e, controller, k)
	return ok && math.Abs(share) >= sag
}

// share is the part of a controller's current in a case that an edge carries,
// negative against its direction, and what the edge carries without it in A. It is
// not ok where the controller draws nothing or the circuit is not solved.
func (d *Demands) share(e *circuit.Edge, controller string, k circuit.Case) (share, without float64, ok bool) {
	with, idle := d.Circuit.Solve(k), d.Circuit.Solve(k.Off(controller))
	drawn := with.Current(controller)
	if with.Failed != "" || idle.Failed != "" || math.Abs(drawn) < LeastA {
		return 0, 0, false
	}
	without = idle.Current(e.ID)
	return (with.Current(e.ID) - without) / drawn, without, true
}
