package conductor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/thermal"
)

func conductorPeakHot() *rules.Rule {
	return &rules.Rule{
		ID:     "conductor-peak-hot",
		Family: family,
		Title:  "a current peak heats a wire above the limit of its insulation or terminals",
		Why: "A cable withstands half a minute of climbing far above its ampacity, but not the third time in a row while it is hot. " +
			"Each time its copper goes a little above the limit of insulation and lugs, until they fail.",
		Relation: "the copper at the end of every step of the declared cycle, of every mode of limited duration, and of each controller's own peak for peak_s, " +
			"starting from the hot state of the repeated cycle, <= min(insulation.max_C, terminals). Between a controller and its motor phase-cable-peak-hot asks instead",
		Source: "thermal replica in the form of IEC 60255-149, C dT/dt = I^2 R(T) - W(T), with the heat balance of the ampacity and the heat capacities of IEC 60853-2; " +
			"cycles shorter than a fifth of the time constant equal their r.m.s. current",
		Level:    rules.Error,
		Varies:   "note for a wire shorter than 2/m, which its terminals cool",
		Required: 1,
		Policy:   []string{"policy.ampacity", "policy.terminal_max_C"},
		Vital: []string{
			"wires.insulation", "batteries.resistance_mOhm", "batteries.short_circuit_A", "controllers.peak_s", "modes.lasts_s",
		},
		Fix: "use a larger size, or shorten the peak",
		Example: rules.Example{Vehicle: "heron", Subject: "w_contactor_drive", Edits: []rules.Edit{
			{Path: "wires.w_contactor_drive.size", Value: `"16 mm2"`},
			{Path: "modes.climb.lasts_s", Value: "240"}, {Path: "modes.climb.draw.drive.power_W", Value: "9000"},
			{Path: "controllers.drive.battery_peak_A", Value: "200"}}},
		Check: func(p *rules.Pass) { thermal.Hot(p, "wires", overloadedID) },
	}
}
