package converter

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func inputHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "converter-input-high",
		Family: family,
		Title:  "the working voltage exceeds the highest input voltage of the converter",
		Why: "A converter chosen for the nominal voltage is destroyed at the end of charge, or when the motor feeds back into a full pack: " +
			"its input capacitors and switches fail, often as a short circuit.",
		Relation: "highest working voltage at the input <= input.max_V: pack at max_V, charger at its own max_V, regeneration into a full pack",
		Source:   "ISO 6469-3 (maximum working voltage); data sheet window",
		Level:    rules.Error, Required: 1,
		Policy: []string{"policy.required.converter-input-high"},
		Vital:  []string{"batteries.resistance_mOhm", "batteries.short_circuit_A"},
		Fix:    "use a converter whose input.max_V is above the highest working voltage, not above the nominal one",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "converters.converter.input.max_V", Value: "80"}}},
		Check: checkInputHigh,
	}
}

// higher proposes a converter for a highest input voltage in V that still works down
// to the lowest.
func higher(p *rules.Pass, v *schema.Converter, highest float64) string {
	text := fmt.Sprintf("use a converter with input.max_V of at least %s V", rules.Figure(rules.RoundUp(highest, 1)))
	if lowest, ok, err := lowestInput(p, v.ID); ok && err == nil && !lowest.stops {
		text += fmt.Sprintf(" and input.min_V of at most %s V", rules.Figure(rules.RoundDown(lowest.v, 1)))
	}
	return text
}

func checkInputHigh(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".in_pos") {
			continue
		}
		highest, path, ok, err := highestInput(p, v.ID)
		if err != nil && unsettled(c, err) {
			continue
		}
		if !ok {
			c.NotChecked("a source for "+v.ID, "nothing feeds the input of %s", v.ID)
			continue
		}
		where := "with the pack full"
		if path != "" {
			where = "at the charger's limit"
			c.Given("V_max", "highest output voltage of the charger on its network", highest.v, "V", path)
			c.In("", "charger at its limit")
		} else {
			showInput(c, "V_max", "highest voltage at the input of "+v.ID, highest)
			c.In(highest.mode, highest.state.String())
			if highest.mode != "" {
				where += " in mode " + highest.mode
			}
		}
		limit := c.Given("V_lim", "highest input voltage of "+v.ID, v.Input.MaxV, "V", v.Path()+".input.max_V")
		if highest.v*p.Required() > v.Input.MaxV {
			c.Fix("%s", higher(p, v, highest.v*p.Required()))
		}
		c.AtMost(rules.Volts(highest.v), rules.Volts(limit), "%s: input at up to %s V %s, rated %s V",
			v.ID, rules.Figure(highest.v), where, rules.Figure(limit))
	}
}
