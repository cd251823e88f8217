package controller

import (
	"fmt"
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

const controllerVoltageLowID = "controller-voltage-low"

func controllerVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     controllerVoltageLowID,
		Family: family,
		Title:  "the controller switches off before the pack is empty",
		Why: "A controller stops at its own lowest voltage. If that is above the pack's cut-off the last part of the charge cannot be used, the range is " +
			"shorter than computed, and the vehicle stops while its gauge still shows something.",
		Relation: "min_V of the controller <= min_V of the pack at rest",
		Source:   "data sheets; common practice",
		Level:    rules.Warning,
		Varies:   "error where it is above the nominal voltage of the pack, or above what a mode leaves of that under load: it stops with half of the charge left",
		Required: 1,
		Policy:   []string{"policy.required.controller-voltage-low"},
		Fix:      "set the controller's lowest voltage below the pack's cut-off, or raise the cut-off where the cells require it",
		Example: rules.Example{Vehicle: "heron", Subject: "drive", Edits: []rules.Edit{
			{Path: "controllers.drive.min_V", Value: "62"}}},
		Check: checkVoltageLow,
	}
}

// reachCutoff is the fix for a controller that stops before a string at its cut-off
// in V: a lowest voltage, or a cut-off, that holds under load as well.
func (d drive) reachCutoff(p *rules.Pass, lowest circuit.SeriesString, there float64) string {
	most := there / p.Required()
	text := fmt.Sprintf("set the lowest voltage of %s to at most %s V", d.ID, rules.Figure(rules.RoundDown(most, 0.1)))
	sag := 0.0
	if v, mode := d.saggedV(p); mode != "" {
		ask := p.Spec.Policy.Required[controllerUndervoltageID]
		if loaded := v / max(1, ask); loaded < most {
			sag = there - loaded
			text = fmt.Sprintf("set the lowest voltage of %s to at most %s V, which is left in mode %s with the pack empty and cold", d.ID, rules.Figure(rules.RoundDown(loaded, 0.1)), mode)
		}
	}
	least := rules.RoundUp(max(d.MinV*p.Required(), d.MinV+sag), 0.1)
	usual := 0.0
	for _, b := range lowest {
		usual += p.Spec.Batteries[b.ID].NominalV
	}
	if least >= usual {
		return text + fmt.Sprintf(", or use a controller with that lowest voltage (at %s V %s is not empty: its cut-off cannot be raised that far)", rules.Figure(least), lowest.Name())
	}
	return text + fmt.Sprintf("; or raise the cut-off of %s to at least %s V, and min_V with it", lowest.Name(), rules.Figure(least))
}

// nominalV is the least voltage that is left with the pack at its nominal voltage in a
// mode that draws, and which mode that is; of the pack at rest without any.
func (d drive) nominalV(p *rules.Pass) (v float64, mode string) {
	v = math.Inf(1)
	for _, s := range d.strings {
		v = min(v, s.V(p.Spec, circuit.Nominal))
	}
	if _, known := p.Circuit.ResistanceKnown(d.edge.From); !known {
		return v, ""
	}
	for _, id := range p.Circuit.States() {
		draw := p.Circuit.Mode(id).Draw[d.ID]
		if draw == nil || draw.PowerW.Or(0)+draw.CurrentA.Or(0) == 0 {
			continue
		}
		s := p.Circuit.Solve(demand.Nominal(id))
		if !s.Settled(d.edge.ID) || d.leftV(s) < fedV {
			continue
		}
		if left := d.terminalV(s); left < v {
			v, mode = left, id
		}
	}
	return v, mode
}

func checkVoltageLow(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		lowest := d.strings[0]
		for _, s := range d.strings[1:] {
			if s.V(p.Spec, circuit.Lowest) < lowest.V(p.Spec, circuit.Lowest) {
				lowest = s
			}
		}
		need := c.Given("V_uv", "lowest working voltage of "+d.ID, d.MinV, "V", d.Path()+".min_V")
		numbers := ""
		for i, b := range lowest {
			if i > 0 {
				numbers += " + "
			}
			v := p.Spec.Batteries[b.ID].MinV
			c.Given("V_"+b.ID, "cut-off of "+b.ID, v, "V", b.Path+".min_V")
			numbers += rules.Term(v)
		}
		there := lowest.V(p.Spec, circuit.Lowest)
		if len(lowest) > 1 {
			c.Calc("V_string", "batteries in series", "sum of V_min", numbers, there, "V")
		}
		c.Related(lowest[0].Path+".min_V", "the pack's cut-off")
		if v, mode := d.nominalV(p); there < need && v < need {
			c.Level(rules.Error)
			ref := "at rest"
			if mode != "" {
				ref = "mode " + mode + ", pack at nominal voltage, typical resistance"
			}
			c.Solved("V_n", "supply with the pack at nominal voltage", v, "V", ref)
		}
		if there < need*p.Required() {
			c.Fix("%s", d.reachCutoff(p, lowest, there))
		}
		c.AtLeast(rules.Volts(need), rules.Volts(there), "%s: works down to %s V, %s is empty at %s V", d.ID, rules.Figure(need), lowest.Name(), rules.Figure(there))
	})
}
