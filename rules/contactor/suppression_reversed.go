package contactor

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
)

func suppressionReversed() *rules.Rule {
	return &rules.Rule{
		ID:     "suppression-reversed",
		Family: family,
		Title:  "a suppression diode is reversed across its coil",
		Why: "The diode is then a short circuit across the key switch: at the first turn of the key the fuse opens, " +
			"or the diode burns and the loom with it. With a resistor in series it is a heater, and the coil is left without a suppression.",
		Relation: "the cathode of a diode across a coil, alone or in series with a resistor, is at the end that is fed from the positive pole; " +
			"one with a resistor may be the other way around where something else absorbs the coil's energy",
		Source: "circuit theory",
		Level:  rules.Error,
		Fix:    "turn the diode around: the cathode (the ring) to coil_pos",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "diodes.freewheel", Value: `{"forward_V": 0.8, "forward_at_A": 1, "continuous_A": 3, "reverse_V": 100}`},
			{Path: "wires.freewheel_a", Value: `{"from": "main_contactor.coil_pos", "to": "freewheel.anode", "size": "1.5 mm2", "length_m": 0.05}`},
			{Path: "wires.freewheel_k", Value: `{"from": "freewheel.cathode", "to": "main_contactor.coil_neg", "size": "1.5 mm2", "length_m": 0.05}`}}},
		Check: checkSuppressionReversed,
	}
}

func checkSuppressionReversed(p *rules.Pass) {
	for _, d := range devices(p) {
		var around []string
		for _, r := range d.rows(p) {
			if len(r.diodes) > 0 && (r.chain.Forward || r.chain.Backward) {
				around = append(around, r.names())
			}
		}
		if len(around) == 0 {
			continue
		}
		if c, ok := onCoil(p, d); ok {
			evalReversed(c, p, d, around)
		}
	}
}

func evalReversed(c *rules.Check, p *rules.Pass, d device, around []string) {
	wrong := d.reversed(p)
	if len(wrong) == 0 {
		c.Holds(true, "%s is not reversed across the coil of %s", strings.Join(around, ", "), d.id)
		return
	}
	for _, r := range wrong {
		for _, diode := range r.diodes {
			c.Related(diode.Path(), "the diode")
		}
	}
	c.Culprit(wrong[0].diodes[0].ID)
	if first := d.firstOf(p, wrong); first != d.id {
		c.Because("suppression-reversed", first)
	}
	r := wrong[0]
	c.Fix("turn %s around: the cathode (the ring) to the end of the coil that is fed", r.diodes[0].ID)
	if r.ohm() == 0 {
		c.Fail("%s is reversed across the coil of %s: it is a short circuit", r.names(), d.id)
		return
	}
	v, state, failed := d.highestV(p)
	if failed != nil || v == 0 {
		c.Fail("%s is reversed across the coil of %s", r.names(), d.id)
		return
	}
	c.In(state.Mode, state.String())
	c.Solved("V_c", "highest voltage of the coil", v, "V", state.String())
	for _, x := range r.resistors {
		c.Given("R", "resistance of "+x.ID, x.ResistanceOhm, "Ohm", x.Path()+".resistance_Ohm")
	}
	forward := r.forwardSteps(c, p)
	i := c.Calc("I", "current through "+r.names(), "(V_c - V_f) / R", "("+rules.Term(v)+" - "+rules.Term(forward)+") / "+rules.Term(r.ohm()), max(0, v-forward)/r.ohm(), "A")
	watts := c.Calc("P", "power in its resistance", "I^2 R", rules.Term(i)+"^2 * "+rules.Term(r.ohm()), i*i*r.ohm(), "W")
	c.Fail("%s is reversed across the coil of %s: it absorbs none of the coil's energy and draws %s A, %s W, for as long as the coil is on",
		r.names(), d.id, rules.Figure(i), rules.Figure(watts))
}

// firstOf is the first of the coils in parallel that the same rows are across
// the wrong way around: it carries the finding for all of them.
func (d device) firstOf(p *rules.Pass, wrong []row) string {
	same := func(a, b row) bool { return slices.Equal(a.ids(), b.ids()) }
	for _, other := range devices(p) {
		if slices.EqualFunc(other.reversed(p), wrong, same) {
			return other.id
		}
	}
	return d.id
}
