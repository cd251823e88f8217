package converter

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

const criticalSingleFuseID = "critical-load-single-fuse"

func criticalLoadSingleFuse() *rules.Rule {
	return &rules.Rule{
		ID:     criticalSingleFuseID,
		Family: family,
		Title:  "one blown fuse turns off every critical consumer at once",
		Why: "If lamps, brake lamps and horn are fed by one fuse, or by a converter without a battery behind one fuse, the vehicle loses them all " +
			"when it opens, at speed, at night and in traffic.",
		Relation: "with any one fuse open, at least one of the critical consumers that were supplied still is",
		Source:   "single-failure analysis, common practice for vehicles on public roads",
		Level:    rules.Warning,
		Policy:   []string{"policy.levels.critical-load-single-fuse"},
		Fix:      "give lamps and brake lamps fuses of their own, and feed the network from an auxiliary battery beside the converter",
		Example: rules.Example{Vehicle: "heron", Subject: "converter_fuse", Edits: []rules.Edit{
			{Path: "wires.w_aux_pos"}, {Path: "wires.w_aux_house"}, {Path: "wires.w_aux_neg"}}},
		Check: checkCriticalLoads,
	}
}

// checkCriticalLoads opens each fuse in turn. Off the road the loss of light is
// an inconvenience: nothing is reported.
func checkCriticalLoads(p *rules.Pass) {
	critical := criticalLoads(p)
	if !p.Spec.Vehicle.OnRoad() || len(critical) < 2 {
		return
	}
	modes := coverOf(p, critical)
	for id, f := range schema.Sorted(p.Spec.Fuses) {
		if f.Spare || !p.Circuit.Connected(id+".a") || !p.Circuit.Connected(id+".b") {
			continue
		}
		c := p.Subject(id, f.Path())
		if p.Unsound(c, id+".a") {
			continue
		}
		if leavesOne(p, id, modes, critical) {
			c.Holds(true, "critical consumers stay supplied when %s opens", id)
			continue
		}
		dark, err := darkened(p, id, modes)
		switch {
		case err != nil && unsettled(c, err):
		case len(dark) < len(critical):
			c.Holds(true, "%d of %d critical consumers stay supplied when %s opens", len(critical)-len(dark), len(critical), id)
		default:
			for _, mode := range modes {
				c.GivenText("mode", "mode in which they were tried", mode, "modes."+mode)
			}
			blameConverter(c, p, id, modes)
			c.Fail("%s: when it opens, every critical consumer goes off: %s", id, strings.Join(critical, ", "))
		}
	}
}

// criticalLoads lists the critical loads that some mode turns on and feeds.
func criticalLoads(p *rules.Pass) []string {
	var out []string
	for id, l := range schema.Sorted(p.Spec.Loads) {
		if !l.Critical || l.Spare {
			continue
		}
		if slices.ContainsFunc(modesOf(p, id), func(mode string) bool { return isLit(p, circuit.Case{Mode: mode}, id) }) {
			out = append(out, id)
		}
	}
	return out
}

// isLit reports whether a load has at least half of the voltage it is made for.
func isLit(p *rules.Pass, k circuit.Case, load string) bool {
	return across(p.Circuit.Solve(k), load+".pos", load+".neg") > p.Spec.Loads[load].AtV/2
}

// coverOf picks few modes that between them turn on all of the loads: always the
// one that adds most.
func coverOf(p *rules.Pass, loads []string) []string {
	var modes []string
	left := slices.Clone(loads)
	for len(left) > 0 {
		best, most := "", []string(nil)
		for _, mode := range p.Circuit.States() {
			m := p.Circuit.Mode(mode)
			var adds []string
			for _, id := range left {
				if slices.Contains(m.On, id) && isLit(p, circuit.Case{Mode: mode}, id) {
					adds = append(adds, id)
				}
			}
			if len(adds) > len(most) {
				best, most = mode, adds
			}
		}
		if best == "" {
			break
		}
		modes = append(modes, best)
		left = slices.DeleteFunc(left, func(id string) bool { return slices.Contains(most, id) })
	}
	return modes
}

// leavesOne tells by the metal alone, without solving the circuit again, that
// a fuse leaves a critical load supplied: some source reaches it without the
// fuse, and reaches every coil, converter and input that it reached before, so
// that nothing releases.
func leavesOne(p *rules.Pass, fuse string, modes, critical []string) bool {
	for _, mode := range modes {
		s := p.Circuit.Solve(circuit.Case{Mode: mode})
		kept := false
		for _, source := range p.Circuit.Sources() {
			if source.Role == "charger" || source.Role == "converter" && !runs(s, source.ID) {
				continue
			}
			list := p.Circuit.StringOf(source)
			before := newReach(p.Circuit, s, list.Pos(), list.Neg(), "")
			after := newReach(p.Circuit, s, list.Pos(), list.Neg(), fuse)
			for _, e := range p.Circuit.Edges {
				switch e.Kind {
				case circuit.CoilEdge, circuit.ConverterInput, circuit.EnableEdge, circuit.BatteryEdge:
					if before.Span(e) && !after.Span(e) {
						return false
					}
				case circuit.LoadEdge:
					kept = kept || slices.Contains(critical, e.Part) && after.feeds(e, fedV) && slices.Contains(p.Circuit.Mode(mode).On, e.Part)
				}
			}
		}
		if kept {
			return true
		}
	}
	return false
}

// darkened lists the critical loads that lose their supply with a fuse open.
func darkened(p *rules.Pass, fuse string, modes []string) ([]string, error) {
	dark := map[string]bool{}
	for _, mode := range modes {
		open := circuit.Case{Mode: mode, Open: fuse}
		for _, id := range p.Circuit.Mode(mode).On {
			l := p.Spec.Loads[id]
			if l == nil || !l.Critical || l.Spare || !isLit(p, circuit.Case{Mode: mode}, id) {
				continue
			}
			if err := settled(p.Circuit.Solve(open), id); err != nil {
				return nil, err
			}
			if !isLit(p, open, id) {
				dark[id] = true
			}
		}
	}
	var out []string
	for id := range schema.Sorted(dark) {
		out = append(out, id)
	}
	return out, nil
}

// blameConverter names a converter that is overloaded anyway, where it is the
// one that shuts down once the fuse has disconnected the battery.
func blameConverter(c *rules.Check, p *rules.Pass, fuse string, modes []string) {
	for _, mode := range modes {
		for _, id := range p.Circuit.Solve(circuit.Case{Mode: mode, Open: fuse}).Limiting {
			v := p.Spec.Converters[id]
			if v == nil {
				continue
			}
			if all, err := budgets(p, v); err == nil && isOverloaded(p, v, all) {
				c.Because(overloadedID, id)
				return
			}
		}
	}
}
