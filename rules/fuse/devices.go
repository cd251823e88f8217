package fuse

import (
	"slices"

	"example.org/headroom/rules/internal/circuit"
)

// device limits the continuous current of a conductor: a fuse, or a source that
// supplies no more.
type device struct {
	fuse   string          // "" for a source
	source *circuit.Source // of which it is the limit, where fuse is ""
	// resistor is what sets that limit, "" for the source itself.
	resistor string
	// inside is the battery whose internal fuse it is, where no other fuse is; source
	// then one of those that it protects against.
	inside string
	// amperes is the ampacity that a conductor must have behind it: I_n where
	// I_2 <= 1.45 I_n, else I_2/1.45; the limit of a source.
	amperes float64
}

// is tells one device from others.
func (d device) is() [2]string {
	switch {
	case d.fuse != "":
		return [2]string{d.fuse, ""}
	case d.inside != "":
		return [2]string{"", d.inside}
	}
	return [2]string{"", d.source.ID}
}

// each adds up each guard's own device.
func (s *supply) each(group []*circuit.Guard, _ string) coordination {
	return s.perString(group, func(g *circuit.Guard) coordination {
		var own coordination
		if series := s.alongRun(g); series != "" {
			own = s.tightest([]string{series})
			own.series = series
		}
		if len(g.Fuses) > 0 {
			if before := s.tightest(g.Fuses); !own.applies || before.err == nil && before.need() <= own.need() {
				own = before
			}
		}
		switch limit := g.Source.LimitA; {
		case limit > 0 && (!own.applies || own.err != nil || limit < own.need()):
			return sourceLimit(g)
		case !own.applies:
			return s.inside(g) // if nothing protects it, it is a finding of the wiring family
		}
		return own
	})
}

// perString adds up what the guards of a group are protected by, nothing if one of them
// is by nothing. Batteries of one string drive one current: of theirs the largest governs,
// since a tap between them carries only that of those on one side of it.
func (s *supply) perString(group []*circuit.Guard, own func(*circuit.Guard) coordination) coordination {
	sum := newSum()
	var strings []coordination
	of := map[string]int{} // by the lowest battery of a string
	for _, g := range group {
		k := own(g)
		if !k.applies {
			return coordination{}
		}
		lowest := s.series(g.Source)[0].ID
		i, ok := of[lowest]
		switch {
		case !ok:
			of[lowest], strings = len(strings), append(strings, k)
		case strings[i].err == nil && (k.err != nil || k.need() > strings[i].need()):
			strings[i] = k
		}
	}
	for _, k := range strings {
		sum.add(k)
	}
	return sum.coordination
}

// sourceLimit is what a source gives at the most.
func sourceLimit(g *circuit.Guard) coordination {
	limit := g.Source.LimitA
	return coordination{applies: true, devices: []device{{source: &g.Source, amperes: limit}}, totalA: limit}
}

// inside is the smallest fuse in the batteries in series that protects against one of
// them, or those in parallel that do so together. Their class is not known, but
// I_n <= I_z holds of all.
func (s *supply) inside(g *circuit.Guard) coordination {
	if !g.Inside.Breaks() {
		return coordination{}
	}
	list := g.Inside.Batteries
	if !g.Inside.Together {
		list = list[:1]
	}
	sum := newSum()
	for _, id := range list {
		d := device{source: &g.Source, inside: id, amperes: s.Spec.Batteries[id].InternalFuseA.Value}
		sum.add(coordination{applies: true, devices: []device{d}, totalA: d.amperes})
	}
	return sum.coordination
}

// parallel adds up the nearest fuses on each way from the sources.
func (s *supply) parallel(group []*circuit.Guard, _ string) coordination {
	return s.perString(group, func(g *circuit.Guard) coordination {
		fuses, fused := s.feeding.Fuses(g.Source, g.Side, g.Near, g.Far)
		own := s.together(fuses)
		switch limit := g.Source.LimitA; {
		case limit > 0 && (!fused || len(fuses) == 0 || own.err != nil || limit < own.need()):
			return sourceLimit(g)
		case !fused || len(fuses) == 0:
			return coordination{}
		}
		return own
	})
}

// together adds up fuses in parallel.
func (s *supply) together(ids []string) coordination {
	sum := newSum()
	for i := range ids {
		sum.add(s.tightest(ids[i : i+1]))
	}
	return sum.coordination
}

// sum adds up coordinations, each device once.
type sum struct {
	coordination
	has map[[2]string]bool // the devices, where a scan of them would take longer
}

func newSum() sum { return sum{coordination: coordination{applies: true}} }

func (k *sum) add(other coordination) {
	if k.err == nil {
		k.err = other.err
	}
	if k.partial == "" {
		k.partial = other.partial
	}
	if k.series == "" {
		k.series = other.series
	}
	for _, d := range other.devices {
		if !k.holds(d) {
			k.devices = append(k.devices, d)
			k.totalA += d.amperes
		}
	}
}

// holds reports whether a device is in the sum already, and if not makes a note of it.
func (k *sum) holds(d device) bool {
	const scanned = 8
	if len(k.devices) < scanned {
		return slices.ContainsFunc(k.devices, func(other device) bool { return other.is() == d.is() })
	}
	if k.has == nil {
		k.has = make(map[[2]string]bool, 4*scanned)
		for _, other := range k.devices {
			k.has[other.is()] = true
		}
	}
	has := k.has[d.is()]
	k.has[d.is()] = true
	return has
}
