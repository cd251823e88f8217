package conductor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/thermal"
)

const overloadedID = "conductor-overloaded"

func conductorOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     overloadedID,
		Family: family,
		Title:  "a wire carries more than its ampacity, continuously or as r.m.s. over the cycle",
		Why: "Above the ampacity the insulation hardens and cracks over weeks, and the heat damages lugs, terminals and the plastic around them. " +
			"No fuse opens: the current is within its rating.",
		Relation: "the current of every continuous mode, and the r.m.s. current of the declared cycle and of each mode that repeats, <= I_z: " +
			"the ampacity for the size, air temperature, bundle and sheath, at the lowest temperature limit of insulation and terminals. " +
			"A wire shorter than 2/m is cooled by its terminals: with both ends at their limits it must stay below the limit of its insulation. Between a controller and its motor phase-cable-overloaded asks instead",
		Source: "heat balance in the form of IEC 60287, calibrated to NFPA 70 Table 310.17 and DIN VDE 0298-4; heating of a conductor follows the r.m.s. current; " +
			"short wires: the equation of a fin, heat transfer textbooks",
		Level:    rules.Error,
		Varies:   "note for a wire shorter than 2/m that gives its terminals, of no declared temperature limit, less heat than their joints do",
		Required: 1,
		Policy:   []string{"policy.ampacity", "policy.terminal_max_C"},
		Vital:    []string{"wires.insulation", "batteries.resistance_mOhm", "batteries.short_circuit_A", "modes.lasts_s"},
		Fix:      "use a larger size, or split the current between two wires with a fuse each",
		Example: rules.Example{Vehicle: "heron", Subject: "w_contactor_drive", Edits: []rules.Edit{
			{Path: "wires.w_contactor_drive.size", Value: `"6 mm2"`}}},
		Check: func(p *rules.Pass) { thermal.Steady(p, "wires") },
	}
}
