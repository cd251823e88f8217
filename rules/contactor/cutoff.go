package contactor

import (
	"maps"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

// cutoff tells what the poles of some switches cut off when all of them are
// open and everything else is closed: a device whose coil has no feed any more
// counts as open from then on, and so on for what its contacts feed.
type cutoff struct {
	p    *rules.Pass
	open map[string]bool // edges that are open
	off  map[string]bool // devices whose coil is cut off
	// resistors lets current through the resistors that consumers are fed through.
	resistors bool
	// electronic lets a controller that has lost its logic supply open the coil
	// driver that it holds.
	electronic bool
	// atOnce is the moment after: what opens with a delay is still closed.
	atOnce bool

	visiting map[string]bool // converters whose input is being traced
}

// newCutoff opens all poles of the switches of a role, but for some that are bridged.
// Without any it says nothing of devices.
func newCutoff(p *rules.Pass, role string, electronic bool, bridged ...string) (c *cutoff, found bool) {
	return openedBy(p, role, &cutoff{p: p, electronic: electronic}, bridged...)
}

// openedBy is newCutoff with what is told of the cutoff besides.
func openedBy(p *rules.Pass, role string, c *cutoff, bridged ...string) (_ *cutoff, found bool) {
	c.open, c.off = map[string]bool{}, map[string]bool{}
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		if sw.Role == role && !sw.Spare {
			found = true
			for pole := range schema.Sorted(sw.Poles) {
				c.open[id+"."+pole] = !slices.Contains(bridged, id+"."+pole)
			}
		}
	}
	for found && c.step() {
	}
	return c, found
}

// handCutoff opens every switch by hand, whatever it is for, and every coil driver.
func handCutoff(p *rules.Pass) *cutoff {
	c := &cutoff{p: p, open: map[string]bool{}, off: map[string]bool{}, electronic: true}
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		for pole := range sw.Poles {
			c.open[id+"."+pole] = !sw.Spare
		}
	}
	for id := range p.Spec.Controllers {
		c.open[id+".coil_out"] = true
	}
	for c.step() {
	}
	return c
}

// restCutoff opens everything that can be opened: what is still fed then is always
// fed, but for fuses.
func restCutoff(p *rules.Pass) *cutoff {
	c := handCutoff(p)
	for id := range p.Spec.Disconnects {
		c.open[id], c.open[id+".2"] = true, true
	}
	for _, d := range devices(p) {
		for _, e := range d.contacts {
			c.open[e.ID] = true
		}
	}
	return c
}

// step cuts off what the open edges leave without a feed, and reports whether
// there was any. What follows from that is left to the next step.
func (c *cutoff) step() bool {
	moved, isFed := false, c.feeding()
	for _, d := range devices(c.p) {
		if c.off[d.id] || isFed(c.p.Circuit.Edge(d.id+".coil")) {
			continue
		}
		c.off[d.id], moved = true, true
		if d.coil != nil && d.coil.StaysClosed() || c.atOnce && d.opensLater(c.p) {
			continue
		}
		for _, e := range d.contacts {
			if e.ID != d.id+".nc" {
				c.open[e.ID] = true
			}
		}
	}
	if !c.electronic {
		return moved
	}
	for id := range schema.Sorted(c.p.Spec.Controllers) {
		driver, enable := c.p.Circuit.Edge(id+".coil_out"), c.p.Circuit.Edge(id+".enable")
		if driver == nil || c.open[driver.ID] || !c.p.Circuit.Connected(id+".enable") || isFed(enable) {
			continue
		}
		c.open[driver.ID], moved = true, true
	}
	return moved
}

// feeding tells of edges whether path finds them fed with what is open now: each source is
// searched from once, for all of them.
func (c *cutoff) feeding() func(load *circuit.Edge) bool {
	now := *c
	now.open = maps.Clone(c.open)
	sources := slices.DeleteFunc(slices.Clone(c.p.Circuit.Sources()), func(s circuit.Source) bool { return !c.alive(s) })
	var reached []circuit.Poles // by source, of the first of them
	return func(load *circuit.Edge) bool {
		for i, source := range sources {
			if i == len(reached) {
				reached = append(reached, now.reach(source))
			}
			for _, ends := range [][2]circuit.Node{{load.From, load.To}, {load.To, load.From}} {
				onPoles := ends == [2]circuit.Node{source.Pos, source.Neg} // and no way between, as path has it
				if reached[i].Pos.Has(ends[0]) && reached[i].Neg.Has(ends[1]) && !onPoles {
					return true
				}
			}
		}
		return false
	}
}

// reach is what a source feeds from its poles.
func (c *cutoff) reach(source circuit.Source) circuit.Poles {
	cost := c.cost(source.ID)
	return c.p.Circuit.ReachPoles(func(outward bool) circuit.Passes {
		return func(e *circuit.Edge, enter circuit.Node) bool {
			if !outward {
				enter = e.Other(enter) // the current comes from there
			}
			_, ok := cost(e, enter)
			return ok
		}
	}, source.Pos, source.Neg)
}

// reaches reports whether the positive side of an edge is still fed, whatever becomes
// of its return.
func (c *cutoff) reaches(load *circuit.Edge) bool {
	return slices.ContainsFunc(c.p.Circuit.Sources(), func(s circuit.Source) bool { return c.alive(s) && c.reach(s).Pos.Has(load.From) })
}

// path is how an edge such as a coil is still fed from a source over conductors and
// diodes, out and back; nil if it is cut off.
func (c *cutoff) path(load *circuit.Edge) []*circuit.Edge {
	n := c.p.Circuit
	for _, source := range n.Sources() {
		if !c.alive(source) {
			continue
		}
		cost := c.cost(source.ID)
		for _, ends := range [][2]circuit.Node{{load.From, load.To}, {load.To, load.From}} {
			out := n.PlainPath(source.Pos, ends[0], cost)
			if out == nil && source.Pos != ends[0] {
				continue
			}
			back := n.PlainPath(ends[1], source.Neg, cost)
			if (back != nil || source.Neg == ends[1]) && len(out)+len(back) > 0 {
				return slices.Concat(out, back)
			}
		}
	}
	return nil
}

// alive reports whether a source still supplies anything: a converter needs a fed
// input, and an enable input that is held up where it has one.
func (c *cutoff) alive(source circuit.Source) bool {
	if source.Role != "converter" {
		// What is plugged in parks the vehicle; the sun shines on one that drives.
		return source.Role != "charger" || c.p.Spec.Solar[source.ID] != nil
	}
	if c.visiting[source.ID] {
		return false // what it feeds itself does not start it
	}
	if c.visiting == nil {
		c.visiting = map[string]bool{}
	}
	c.visiting[source.ID] = true
	defer delete(c.visiting, source.ID)
	if c.path(c.p.Circuit.Edge(source.ID+".in")) == nil {
		return false
	}
	return !c.p.Circuit.Connected(source.ID+".enable") || c.path(c.p.Circuit.Edge(source.ID+".enable")) != nil
}

func (c *cutoff) cost(source string) func(*circuit.Edge, circuit.Node) (float64, bool) {
	return func(e *circuit.Edge, enter circuit.Node) (float64, bool) {
		switch {
		case c.open[e.ID]:
			return 0, false
		case e.Kind == circuit.DiodeEdge:
			return 1, enter == e.From
		case e.Kind == circuit.BatteryEdge:
			return 1, e.Part != source && enter == e.To
		}
		return 1, e.Conducts() || c.resistors && c.p.Circuit.IsSeriesResistor(e)
	}
}

// switched is a contactor and the controllers that it feeds, alone or in parallel with others.
type switched struct {
	device
	ids []string
}

// drives lists the contactors whose contact feeds a controller: those that the
// key and the emergency stop are there for.
func drives(p *rules.Pass) []switched {
	var out []switched
	for _, d := range devices(p) {
		if !d.power {
			continue
		}
		ids := d.controllers(p)
		if len(ids) == 0 {
			ids = d.controllersInParallel(p)
		}
		if len(ids) > 0 {
			out = append(out, switched{d, ids})
		}
	}
	return out
}

// controllersInParallel lists the controllers that a device feeds in
// parallel with other contactors: with those open it does so alone.
func (d device) controllersInParallel(p *rules.Pass) []string {
	if !slices.ContainsFunc(d.contacts, func(e *circuit.Edge) bool { return mayStart(p, e) }) {
		return nil
	}
	with, without := &cutoff{p: p, open: map[string]bool{}}, &cutoff{p: p, open: map[string]bool{}}
	for _, other := range devices(p) {
		for _, e := range other.contacts {
			if other.power {
				without.open[e.ID] = true
				with.open[e.ID] = other.id != d.id
			}
		}
	}
	var ids []string
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if load := p.Circuit.Edge(id); !k.Spare && with.path(load) != nil && without.path(load) == nil {
			ids = append(ids, id)
		}
	}
	return ids
}

// mayStart reports whether a controller, or a converter that may feed one, may hang on
// what a contact joins to the rest.
func mayStart(p *rules.Pass, contact *circuit.Edge) bool {
	behind, ok := p.Circuit.Hanging(contact)
	return !ok || slices.ContainsFunc(behind, func(v circuit.Node) bool {
		return slices.ContainsFunc(p.Circuit.EdgesAt(v), func(e *circuit.Edge) bool {
			return e.Kind == circuit.ControllerEdge || e.Kind == circuit.ConverterInput || e.Kind == circuit.EnableEdge
		})
	})
}

// controllers lists the controllers that lose their feed when the device's
// contact opens.
func (d device) controllers(p *rules.Pass) []string {
	var ids []string
	for id, k := range schema.Sorted(p.Spec.Controllers) {
		if !k.Spare && d.cuts(p, p.Circuit.Edge(id)) {
			ids = append(ids, id)
		}
	}
	return ids
}

// cutsAll reports whether controllers have lost their supply, whatever becomes of
// the coils of their contactors.
func (c *cutoff) cutsAll(controllers []string) bool {
	for _, id := range controllers {
		if c.path(c.p.Circuit.Edge(id)) != nil {
			return false
		}
	}
	return true
}

// cuts reports whether the device's contacts are the only way through which
// a source reaches both poles of a consumer.
func (d device) cuts(p *rules.Pass, load *circuit.Edge) bool {
	without := &cutoff{p: p, open: map[string]bool{}}
	for _, e := range d.contacts {
		without.open[e.ID] = true
	}
	if way := wayTo(p, load); !slices.ContainsFunc(d.contacts, func(e *circuit.Edge) bool { return slices.Contains(way, e) }) {
		return false // it is fed without them, or not at all
	}
	return without.path(load) == nil
}

// wayTo is how a consumer is fed with everything closed, nil if it is not.
func wayTo(p *rules.Pass, load *circuit.Edge) []*circuit.Edge {
	known := rules.Shared(p, "ways to consumers", func() map[string][]*circuit.Edge { return map[string][]*circuit.Edge{} })
	way, ok := known[load.ID]
	if !ok {
		all := &cutoff{p: p, open: map[string]bool{}}
		way = all.path(load)
		known[load.ID] = way
	}
	return way
}
