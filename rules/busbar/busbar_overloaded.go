package busbar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/thermal"
)

const overloadedID = "busbar-overloaded"

func busbarOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     overloadedID,
		Family: family,
		Title:  "a bus bar carries more than its ampacity, continuously or as r.m.s. over the cycle",
		Why: "A bar has no insulation to burn, so nobody worries about it. What suffers is what is bolted to it: " +
			"its joints loosen as they heat and cool, and the fuses, lugs and plastic on it run at its temperature.",
		Relation: "the current of every continuous mode, and the r.m.s. current of the declared cycle and of each mode that repeats, <= I_z = " +
			"7.73 A^0.5 p^0.39 at 50 K above 40 C for copper, scaled to the bar's rise and metal. The formula is for long bars: one shorter than 2/m is cooled by what it connects, " +
			"and must stay below 105 C with both ends at their limits. Between a controller and its motor phase-cable-overloaded asks instead",
		Source: "Copper Development Association, Publication 22 (4 to 10 % below published tables); painted bars DIN 43671; short bars: the equation of a fin, heat transfer textbooks; " +
			"105 C for tinned bolted joints by common practice",
		Level:    rules.Error,
		Varies:   "note for a bar shorter than 2/m that gives its terminals, of no declared temperature limit, less heat than their joints do",
		Required: 1,
		Policy:   []string{"policy.terminal_max_C"},
		Vital:    []string{"batteries.resistance_mOhm", "batteries.short_circuit_A", "modes.lasts_s"},
		Fix:      "use a wider bar, or two bars with a gap of their thickness between them",
		Example: rules.Example{Vehicle: "badger", Subject: "b_plus_drive", Edits: []rules.Edit{
			{Path: "busbars.b_plus_drive.width_mm", Value: "5"}, {Path: "busbars.b_plus_drive.thickness_mm", Value: "1"}, {Path: "busbars.b_plus_drive.length_mm", Value: "600"}}},
		Check: func(p *rules.Pass) { thermal.Steady(p, "busbars") },
	}
}
