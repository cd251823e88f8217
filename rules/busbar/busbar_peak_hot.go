package busbar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/thermal"
)

func busbarPeakHot() *rules.Rule {
	return &rules.Rule{
		ID:     "busbar-peak-hot",
		Family: family,
		Title:  "a current peak heats a bus bar above the limit of its joints",
		Why: "A bar reaches the temperature of a long climb within minutes, and so does every lug and fuse on it. " +
			"Each cycle loosens the joints a little, until one burns.",
		Relation: "the bar at the end of every step of the declared cycle, of every mode of limited duration, and of each controller's own peak for peak_s, " +
			"starting from the hot state of the repeated cycle, <= min(105 C, terminals). Between a controller and its motor phase-cable-peak-hot asks instead",
		Source: "thermal replica in the form of IEC 60255-149, C dT/dt = I^2 R(T) - W(T), with W of the published ampacity formula and the heat capacities of IEC 60949; " +
			"105 C for tinned bolted joints by common practice",
		Level:    rules.Error,
		Varies:   "note for a bar shorter than 2/m, which its terminals cool",
		Required: 1,
		Policy:   []string{"policy.terminal_max_C"},
		Vital:    []string{"batteries.resistance_mOhm", "batteries.short_circuit_A", "controllers.peak_s", "modes.lasts_s"},
		Fix:      "use a wider bar, or shorten the peak",
		Example: rules.Example{Vehicle: "badger", Subject: "b_plus_drive", Edits: []rules.Edit{
			{Path: "busbars.b_plus_drive.width_mm", Value: "15"}, {Path: "busbars.b_plus_drive.thickness_mm", Value: "2"}, {Path: "busbars.b_plus_drive.length_mm", Value: "800"},
			{Path: "modes.climb.lasts_s", Value: "300"}}},
		Check: func(p *rules.Pass) { thermal.Hot(p, "busbars", overloadedID) },
	}
}
