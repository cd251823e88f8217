package contactor

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func suppressionReversed() *rules.Rule {
	return &rules.Rule{
		ID:     "suppression-reversed",
		Family: family,
		Title:  "a suppression diode lies across its coil the wrong way round",
		Why: "The diode is then a short circuit across the key switch: at the first turn of the key the fuse opens, " +
			"or the diode burns and takes the loom with it.",
		Relation: "the cathode of a diode across a coil is at the end that is fed from the positive pole",
		Source:   "circuit theory",
		Level:    rules.Error,
		Fix:      "turn the diode round: the ring, its cathode, to coil_pos",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "diodes.freewheel", Value: `{"forward_V": 0.8, "forward_at_A": 1, "continuous_A": 3, "reverse_V": 100}`},
			{Path: "wires.freewheel_a", Value: `{"from": "main_contactor.coil_pos", "to": "freewheel.anode", "size": "1.5 mm2", "length_m": 0.05}`},
			{Path: "wires.freewheel_k", Value: `{"from": "freewheel.cathode", "to": "main_contactor.coil_neg", "size": "1.5 mm2", "length_m": 0.05}`}}},
		Check: checkSuppressionReversed,
	}
}

func checkSuppressionReversed(p *rules.Pass) {
	for _, d := range devices(p) {
		pos, neg := d.sides(p)
		var around []string
		for id, diode := range schema.Sorted(p.Spec.Diodes) {
			if e := p.Circuit.Edge(id); e != nil && !diode.Spare && across(e, pos, neg) {
				around = append(around, id)
			}
		}
		if len(around) == 0 {
			continue
		}
		c, ok := onCoil(p, d)
		if !ok {
			continue
		}
		wrong := d.reversed(p)
		if len(wrong) == 0 {
			c.Holds(true, "%s blocks the supply of the coil of %s and takes its energy", strings.Join(around, ", "), d.id)
			continue
		}
		for _, id := range wrong {
			c.Related(p.Spec.Diodes[id].Path(), "the diode")
		}
		if first := d.firstOf(p, wrong); first != d.id {
			c.Because("suppression-reversed", first)
		}
		c.Fail("%s conducts across the coil of %s in the direction of its supply: it is a short circuit", strings.Join(wrong, ", "), d.id)
	}
}

// firstOf is the first of the coils in parallel that a reversed diode shorts:
// it carries the finding for all of them.
func (d device) firstOf(p *rules.Pass, wrong []string) string {
	for _, other := range d.others(p) {
		if slices.Equal(other.reversed(p), wrong) {
			return other.id
		}
	}
	return d.id
}
