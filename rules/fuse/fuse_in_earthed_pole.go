package fuse

import (
	"math"
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func inEarthedPole() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-in-earthed-pole",
		Family: family,
		Title:  "a fuse is in the pole that is connected to the chassis",
		Why: "A cable of the other pole that chafes through to the metalwork shorts the battery past such a fuse. And where the fuse has opened, the whole " +
			"circuit is still live: its return rises to the voltage of the battery and looks for a way over signal grounds and screens.",
		Relation: "no fuse is in the way of a consumer's current to the pole of a source that is connected to the chassis. Fuses in the leads of meters are excepted; in a network that is connected to no " +
			"chassis a fuse may be in either pole",
		Source:   "46 CFR 111.05-37 and 183.380(b) (not in an earthed conductor unless all others open with it); 33 CFR 183.455 (each ungrounded conductor is protected); circuit theory",
		Level:    rules.Warning,
		Varies:   "error where a conductor of the other pole has no fuse in that pole",
		Required: 0,
		Fix:      "move the fuse to the other pole, next to the battery",
		Example: rules.Example{Vehicle: "mole", Subject: "neg_fuse", Edits: []rules.Edit{
			{Path: "fuses.neg_fuse", Value: `{"class": "blade", "rated_A": 30, "rated_V_dc": 32, "breaking_A_dc": 2000}`},
			{Path: "wires.w_neg_fuse", Value: `{"from": "neg_fuse.b", "to": "house_returns.free", "size": "2.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 60}}`},
			{Path: "wires.w_pump_neg.to", Value: `"neg_fuse.a"`}}},
		Check: checkInEarthedPole,
	}
}

func checkInEarthedPole(p *rules.Pass) {
	s := newSupply(p)
	earthed := map[string][]circuit.EarthedFuse{}
	for _, f := range p.Circuit.EarthedFuses() {
		earthed[f.Fuse.Part] = append(earthed[f.Fuse.Part], f)
	}
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		list := earthed[f.ID]
		if len(list) == 0 {
			return true
		}
		for _, x := range list {
			if bare := s.leftBare(x, earthed); bare != "" {
				c.Level(rules.Error)
				c.Related(p.Spec.Conductor(bare).Path(), "has no fuse in its own pole")
				c.Fix("move %s to %s, or fit another fuse there", f.ID, otherPole(x))
				c.Fail("%s is in the pole of %s that is connected to the chassis: a short circuit of %s to the metalwork passes it by, and no other fuse is in that loop", f.ID, x.Source.ID, bare)
				return true
			}
		}
		c.Fail("%s is in the pole of %s that is connected to the chassis: with it open the circuit stays live", f.ID, list[0].Source.ID)
		return true
	})
}

// leftBare names the conductor of the other pole, of those beyond the fuse distance, that
// is nearest to the source and has no fuse but such as are in the earthed pole; "" if
// there is none.
func (s *supply) leftBare(x circuit.EarthedFuse, earthed map[string][]circuit.EarthedFuse) (nearest string) {
	least := math.Inf(1)
	for id := range s.Spec.Conductors() {
		for _, g := range s.guards[id] {
			if g.Source.ID != x.Source.ID || g.Side == x.Side || g.Inside.Breaks() || g.Source.LimitA > 0 {
				continue
			}
			inEarthed := func(f string) bool { return earthed[f] != nil }
			relies := len(g.Fuses) > 0 && !slices.ContainsFunc(g.Fuses, func(f string) bool { return !inEarthed(f) })
			bare := g.Exposed && !g.WithinDistance() || relies && !s.short(s.own(id))
			if far := max(g.UnfusedM, s.metres(id)); bare && far < least {
				nearest, least = id, far
			}
		}
	}
	return nearest
}

// otherPole is the terminal of the source at which the fuse belongs.
func otherPole(x circuit.EarthedFuse) string {
	pos, neg := ".pos", ".neg"
	if x.Source.Role == "converter" {
		pos, neg = ".out_pos", ".out_neg"
	}
	if x.Side == circuit.Negative {
		return x.Source.ID + pos
	}
	return x.Source.ID + neg
}
