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
		Title:  "a bus bar carries more than it may in its place, continuously or in the mean of the drive",
		Why: "A bar has no insulation to burn, so it is trusted with anything. What suffers is what is screwed to it: " +
			"its joints loosen as they cycle, and the fuses, lugs and plastic on it run at its temperature.",
		Relation: "the current of every mode that goes on continuously, and the root mean square of the declared cycle and of each mode that lasts and comes back, <= I_z = " +
			"7.73 A^0.5 p^0.39 at 50 K above 40 C for copper, scaled to the bar's rise and metal. The formula is for long bars: one shorter than 2/m is cooled by what it joins, " +
			"and with both ends at their limits must stay below 105 C",
		Source: "Copper Development Association, Publication 22 (4 to 10 % below published tables); painted bars DIN 43671; short bars: the equation of a fin, heat transfer textbooks; " +
			"105 C for tinned bolted joints by common practice",
		Level:    rules.Error,
		Varies:   "note for a bar shorter than 2/m whose terminals state no limit of temperature",
		Required: 1,
		Policy:   []string{"policy.terminal_max_C"},
		Fix:      "use a wider bar, or two with a gap of their thickness between",
		Example: rules.Example{Vehicle: "badger", Subject: "b_plus_drive", Edits: []rules.Edit{
			{Path: "busbars.b_plus_drive.width_mm", Value: "5"}, {Path: "busbars.b_plus_drive.thickness_mm", Value: "1"}, {Path: "busbars.b_plus_drive.length_mm", Value: "600"}}},
		Check: func(p *rules.Pass) { thermal.Steady(p, "busbars") },
	}
}
