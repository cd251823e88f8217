package conductor

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

// joined is a piece of metal on which conductors end, and what it may carry: a stud or the
// bar of a block with all that meet in its node, or one way of a block.
type joined struct {
	name   string
	limitA float64
	lugs   []*circuit.Edge
	whole  circuit.Node // of a stud or bar
	way    bool
}

// jointDemand is what a joint carries, as the equivalent continuous current. Where that is
// not known, or nothing flows, unmeasured says so to the check; else it is nil.
func jointDemand(l *demand.Demands, j joined) (d demand.Duty, unmeasured func(*rules.Check)) {
	if phase, in := l.PhaseJoint(j.lugs, j.way); in {
		return phase.Duty(j.name, studTauS, j.limitA)
	}
	uses, failed := l.JointUses(j.whole)
	if j.way {
		uses, failed = l.WayUses(j.lugs)
	}
	if failed != nil {
		ids := make([]string, len(j.lugs))
		for i, e := range j.lugs {
			ids[i] = e.ID
		}
		return d, func(c *rules.Check) { c.Unsettled(failed, ids...) }
	}
	var endless demand.Use
	by := ""
	uses = slices.DeleteFunc(uses, func(u demand.Use) bool {
		drawer := l.Overdrawn(j.lugs, u)
		if drawer != "" && u.A > endless.A {
			endless, by = u, drawer
		}
		return drawer != ""
	})
	d, found := demand.Hottest(l.Spec, uses, studTauS)
	switch {
	case endless.A > j.limitA && d.EqA <= j.limitA:
		return d, func(c *rules.Check) {
			c.NotChecked(endless.Mode.Path()+".lasts_s", "%s: %s A in mode %s, rated %s A continuous; %s cannot draw that continuously, so give the mode's duration",
				j.name, rules.Figure(endless.A), endless.Mode.ID, rules.Figure(j.limitA), by)
		}
	case !found || d.EqA == 0:
		return d, func(c *rules.Check) { c.Holds(true, "%s carries no known continuous current", j.name) }
	}
	return d, nil
}

// modesUnknown reports a joint whose current no mode gives, or whose cycle contains a
// mistake, as not checked.
func modesUnknown(c *rules.Check, l *demand.Demands, name string) bool {
	if len(l.Spec.Modes) == 0 {
		c.NotChecked("modes", "no mode gives the current of %s", name)
		return true
	}
	return demand.CycleUnknown(c, l.Spec)
}
