package wiring

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
)

func parallelPackUnfused() *rules.Rule {
	return &rules.Rule{
		ID:     "parallel-pack-unfused",
		Family: family,
		Title:  "a pack in parallel with others has no fuse of its own",
		Why: "A fault inside or before one of several packs is fed by all the others. Without a fuse of its own at that pack nothing limits this: " +
			"two others of 84 V and 18 mOhm drive 9 kA into it, besides what it drives itself.",
		Relation: "of batteries in parallel each, or each string of them, has a fuse that opens its way to all the others and to every consumer, in either pole, between its batteries or inside them",
		Source:   "circuit theory; competition rules ask for an overcurrent device of each string",
		Level:    rules.Error,
		Required: 0,
		Fix:      "fit each pack with a fuse of its own, next to its terminal",
		Example: rules.Example{Vehicle: "heron", Subject: "pack2", Edits: []rules.Edit{
			{Path: "batteries.pack2", Value: `{"role": "traction", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": 20, "connect_within_V": 1}`},
			{Path: "wires.w_pack2_pos", Value: `{"from": "pack2.pos", "to": "pack.pos", "size": "50 mm2", "length_m": 0.15, "insulation": {"max_C": 105, "rated_V": 600}}`},
			{Path: "wires.w_pack2_neg", Value: `{"from": "pack2.neg", "to": "pack.neg", "size": "50 mm2", "length_m": 0.15, "insulation": {"max_C": 105, "rated_V": 600}}`}}},
		Check: checkParallelPacks,
	}
}

func checkParallelPacks(p *rules.Pass) {
	first := firstExposed(p.Circuit.Guards(), capacity.LeftToSense(p))
	for _, s := range p.Circuit.Strings() {
		if p.Circuit.MetalJoins(s.Pos(), s.Neg()) {
			continue // shorted
		}
		others := slices.DeleteFunc(p.Circuit.StringsAcross(s.Pos(), s.Neg()), func(o circuit.SeriesString) bool { return o.Has(s[0].ID) })
		if len(others) == 0 {
			continue
		}
		top := p.Spec.Batteries[s[len(s)-1].ID]
		c := p.Subject(top.ID, top.Path())
		if p.Unsound(c, top.ID+".pos", s[0].ID+".neg") {
			continue
		}
		if by, ok := p.Circuit.OwnFuse(s, others); ok {
			c.Holds(true, "%s has a fuse of its own, %s", s.Name(), by)
			continue
		}
		for _, b := range s {
			if lead := first[b.ID]; lead != "" {
				c.Because("conductor-unprotected", lead)
			}
		}
		names := make([]string, len(others))
		for i, o := range others {
			names[i] = o.Name()
		}
		c.Fix("fit %s with a fuse of its own, at %s.pos", s.Name(), top.ID)
		c.Fail("%s is in parallel with %s and has no fuse of its own: they feed a fault in or before it", s.Name(), rules.And(names))
	}
}
