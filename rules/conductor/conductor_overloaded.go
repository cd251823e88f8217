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
		Title:  "a wire carries more than it may in its place, continuously or in the mean of the drive",
		Why: "A wire above its ampacity hardens and cracks its insulation over weeks, and cooks the lugs and the plastic that it is screwed to. " +
			"No fuse opens: to the fuse it is a normal day.",
		Relation: "the current of every mode that goes on continuously, and the root mean square of the declared cycle and of each mode that lasts and comes back, <= I_z: " +
			"the ampacity for the size, the air, the bundle and the sheath, at the least limit of temperature of insulation and terminals. " +
			"A wire shorter than 2/m is cooled by its terminals: with both ends at their limits it must stay below that of its insulation",
		Source: "heat balance in the form of IEC 60287, calibrated to NFPA 70 Table 310.17 and DIN VDE 0298-4; the mean holds for conductors by circuit theory; " +
			"short wires: the equation of a fin, heat transfer textbooks",
		Level:    rules.Error,
		Varies:   "note for a wire shorter than 2/m whose terminals state no limit of temperature",
		Required: 1,
		Policy:   []string{"policy.ampacity", "policy.terminal_max_C"},
		Fix:      "use a larger size, or share the current over two wires with a fuse each",
		Example: rules.Example{Vehicle: "heron", Subject: "w_contactor_drive", Edits: []rules.Edit{
			{Path: "wires.w_contactor_drive.size", Value: `"6 mm2"`}}},
		Check: func(p *rules.Pass) { thermal.Steady(p, "wires") },
	}
}
