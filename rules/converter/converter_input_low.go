package converter

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

const inputLowID = "converter-input-low"

func inputLow() *rules.Rule {
	return &rules.Rule{
		ID:     inputLowID,
		Family: family,
		Title:  "the pack falls below the lowest input voltage of the converter",
		Why: "Below its input window the converter switches off. That happens with an empty pack and the motor pulling it down: " +
			"lamps, instruments and contactor coils fail on the last hill before home.",
		Relation: "V_in >= input.min_V in every mode, pack at min_V and at its greatest resistance (as declared, else cold or aged), copper hot; of a converter that runs in no mode, in some mode with the pack at nominal_V",
		Source:   "data sheet window; circuit theory",
		Level:    rules.Error, Required: 1,
		Policy: []string{"policy.terminal_max_C", "policy.battery_resistance_max_factor"},
		Vital:  []string{"batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:    "use a converter with a lower input.min_V, or raise the pack's actual cut-off, and min_V with it",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "converters.converter.input.min_V", Value: "58"}}},
		Check: checkInputLow,
	}
}

func checkInputLow(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".in_pos") {
			continue
		}
		lowest, ok, err := lowestInput(p, v.ID)
		switch {
		case err != nil && unsettled(c, err):
		case !ok:
			checkNeverIn(c, p, v)
		default:
			checkLowest(c, p, v, lowest)
		}
	}
}

// checkNeverIn checks a converter that runs in no mode with the pack at its
// nominal voltage: either that is below its window, or something else keeps it
// off, which has a finding of its own.
func checkNeverIn(c *rules.Check, p *rules.Pass, v *schema.Converter) {
	var highest inputV
	for _, mode := range p.Circuit.States() {
		s := idle(p.Circuit, mode)
		if c.Unsettled(s, v.ID+".in") {
			return
		}
		if at := acrossInput(s, v.ID); at > highest.v {
			highest = inputV{v: at, mode: mode, state: s.Case}
		}
	}
	if highest.v < fedV || highest.v >= v.Input.MinV {
		c.NotChecked("a mode in which "+v.ID+" runs", "%s runs in no mode at the nominal pack voltage", v.ID)
		return
	}
	if empty := p.Circuit.Solve(demand.Weak(highest.mode).WithCopper(p.Spec.Policy.TerminalMaxC)); empty.Settled(v.ID + ".in") {
		c.Fix("%s", window(p, v.ID, acrossInput(empty, v.ID)))
	}
	c.In(highest.mode, highest.state.String())
	showInput(c, "V_in", "highest voltage at the input of "+v.ID+" in any mode", highest)
	need := c.Given("V_min", "lowest input voltage of "+v.ID, v.Input.MinV, "V", v.Path()+".input.min_V")
	c.AtLeast(rules.Volts(need), rules.Volts(highest.v), "%s: input at no more than %s V (in mode %s) with the pack at nominal voltage, works from %s V",
		v.ID, rules.Figure(highest.v), highest.mode, rules.Figure(need))
}

// window proposes a converter for all that its input gets: from a voltage in V down
// to which it has to work, up to the highest one.
func window(p *rules.Pass, id string, lowest float64) string {
	text := fmt.Sprintf("use a converter with input.min_V of at most %s V", rules.Figure(rules.RoundDown(lowest, 1)))
	if highest, _, ok, err := highestInput(p, id); ok && err == nil {
		text += fmt.Sprintf(" and input.max_V of at least %s V", rules.Figure(rules.RoundUp(highest.v, 1)))
	}
	return text
}

// orCutoff proposes the cut-off of the pack that makes up for what an input lacks in V,
// where a single battery feeds it and is not above its nominal voltage then.
func orCutoff(p *rules.Pass, id string, lacks float64) string {
	strings := p.Circuit.StringsFeeding(id + ".in")
	if len(strings) != 1 || len(strings[0]) != 1 || lacks <= 0 {
		return ""
	}
	b := p.Spec.Batteries[strings[0][0].ID]
	if least := rules.RoundUp(b.MinV+lacks, 0.1); least < b.NominalV {
		return fmt.Sprintf(", or raise the cut-off of %s, and min_V with it, from %s to %s V", b.ID, rules.Figure(b.MinV), rules.Figure(least))
	}
	return ""
}

func checkLowest(c *rules.Check, p *rules.Pass, v *schema.Converter, lowest inputV) {
	c.In(lowest.mode, lowest.state.String())
	demand.ExplainResistance(p, c.Working, p.Circuit.StringsFeeding(v.ID+".in"), lowest.state)
	showInput(c, "V_in", "lowest voltage at the input of "+v.ID, lowest)
	need := c.Given("V_min", "lowest input voltage of "+v.ID, v.Input.MinV, "V", v.Path()+".input.min_V")
	if lowest.stops {
		c.Fix("%s, less what it draws down itself%s", window(p, v.ID, lowest.v/p.Required()), orCutoff(p, v.ID, need*p.Required()-lowest.v))
		c.Fail("%s: stops in mode %s with the pack empty and cold, as its input falls below the %s V that it needs", v.ID, lowest.mode, rules.Figure(need))
		return
	}
	missing, known := p.Circuit.ResistanceKnown(p.Circuit.Edge(v.ID + ".in").From)
	if !known && lowest.v >= need {
		c.NotChecked(missing, "how far the pack's voltage falls under load is not known without its resistance")
		return
	}
	if lowest.v < need*p.Required() {
		c.Fix("%s%s", window(p, v.ID, lowest.v/p.Required()), orCutoff(p, v.ID, need*p.Required()-lowest.v))
	}
	c.AtLeast(rules.Volts(need), rules.Volts(lowest.v), "%s: input falls to %s V in mode %s with the pack empty and cold, works down to %s V",
		v.ID, rules.Figure(lowest.v), lowest.mode, rules.Figure(need))
}
