package converter

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func neverRuns() *rules.Rule {
	return &rules.Rule{
		ID:     "converter-never-runs",
		Family: family,
		Title:  "no mode lets the converter run",
		Why: "Its enable input is wired to something that no mode closes, or its input is fed by nothing: everything on its network " +
			"runs from the auxiliary battery until that is flat, or never works at all.",
		Relation: "in some mode the input is within its window and the enable input, if wired, is energised",
		Source:   "circuit theory",
		Level:    rules.Warning,
		Policy:   []string{"policy.levels.converter-never-runs"},
		Fix:      "feed the input and the enable terminal in the modes that need the converter, or name the switch in the mode's closed list",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "wires.w_converter_enable", Value: `{"from": "converter.enable", "to": "minus_aux.stud", "size": "1.5 mm2", "length_m": 1, "insulation": {"max_C": 105, "rated_V": 600}}`}}},
		Check: checkNeverRuns,
	}
}

func checkNeverRuns(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		switch {
		case p.Unsound(c, v.ID+".in_pos", v.ID+".enable"):
		case len(p.Spec.Modes) == 0:
			c.NotChecked("modes", "the spec has no modes, so it is not known when %s runs", v.ID)
		default:
			checkEnabled(c, p, v)
		}
	}
}

func checkEnabled(c *rules.Check, p *rules.Pass, v *schema.Converter) {
	var most float64
	for mode := range schema.Sorted(p.Spec.Modes) {
		s := idle(p.Circuit, mode)
		if c.Unsettled(s, v.ID+".in") {
			return
		}
		if runs(s, v.ID) {
			c.In(mode, "").Holds(true, "%s runs in mode %s", v.ID, mode)
			return
		}
		most = max(most, acrossInput(s, v.ID))
	}
	c.Solved("V_in", "highest voltage at its input in any mode", most, "V", "pack at nominal voltage, consumers off")
	if need := max(v.Input.MinV, v.Input.StartV.Or(0)); most < need {
		if fedV <= most && most < v.Input.MinV {
			c.Because(inputLowID, v.ID)
		}
		c.Fail("%s never runs: input at no more than %s V in any mode, starts at %s V", v.ID, rules.Figure(most), rules.Figure(need))
		return
	}
	c.Fail("%s never runs: input at %s V, but no mode energises its enable terminal", v.ID, rules.Figure(most))
}
