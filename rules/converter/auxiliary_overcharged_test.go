package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// cells is a battery of a chemistry on the fixture's 13.5 V.
func cells(chemistry, series, nominal, full string, more ...string) []rules.Edit {
	edits := []string{"batteries.aux.chemistry", chemistry, "batteries.aux.nominal_V", nominal, "batteries.aux.max_V", full}
	if series != "" {
		edits = append(edits, "batteries.aux.series", series)
	}
	return auxiliary(ruletest.Edits(append(edits, more...)...))
}

func TestAuxiliaryOvercharged(t *testing.T) {
	const set = "converters.dcdc.output.nominal_V"
	lead := func(more ...string) []rules.Edit {
		return cells(`"lead-acid"`, "6", "12.6", "14.7", append([]string{set, "13.8"}, more...)...)
	}
	fixture.Play(t, auxiliaryOvercharged(), []ruletest.Scene{
		{Name: "no battery", Subject: "aux"},
		{Name: "four LFP cells, 3.45 V each", Subject: "aux", Edits: cells(`"LFP"`, "4", "12.8", "14.6", set, "13.8"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.8, Capability: 14.6}},
		{Name: "15.2 V on them", Subject: "aux", Edits: cells(`"LFP"`, "4", "12.8", "14.6", set, "15.2"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 15.2, Capability: 14.6, Fix: "13.4 to 13.8 V"}},
		{Name: "within its setting, but not within its tolerance: 14.5 x 1.02", Subject: "aux",
			Edits: cells(`"LFP"`, "4", "12.8", "14.6", set, "14.5", "converters.dcdc.output.tolerance_percent", "2"),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 14.79, Capability: 14.6}},
		{Name: "three NMC cells, 4.60 V each", Subject: "aux", Edits: cells(`"NMC"`, "3", "10.8", "12.6", set, "13.8"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 13.8, Capability: 12.6, Message: "4.6 V per cell"}},
		{Name: "the same, their number not stated", Subject: "aux", Edits: cells(`"NMC"`, "", "10.8", "12.6", set, "13.8"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 13.8, Capability: 12.6, Message: "4.6 V per cell"}},
		{Name: "a chemistry that nobody stated: its own end of charge", Subject: "aux", Edits: auxiliary(ruletest.Edits(set, "14.5")),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 14.5, Capability: 14.4}},
		// 13.8 V is 2.30 V per cell; at 40 C a sealed one floats at 2.255 V, 13.53 V.
		{Name: "sealed lead-acid in the heat", Subject: "aux", Edits: lead("batteries.aux.lead_acid", `"AGM"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 13.8, Capability: 13.53, Fix: "compensation_mV_per_K of -18"}},
		{Name: "with a sensor on it", Subject: "aux", Edits: lead("batteries.aux.lead_acid", `"AGM"`, "converters.dcdc.output.compensation_mV_per_K", "-18"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.53, Capability: 13.53}},
		{Name: "flooded", Subject: "aux", Edits: lead("batteries.aux.lead_acid", `"flooded"`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "at 35 C", Subject: "aux", Edits: lead("batteries.aux.lead_acid", `"gel"`, "vehicle.ambient_C.max", "35", "batteries.aux.max_V", "14.4"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "nobody says whether it is sealed", Subject: "aux", Edits: lead(), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.aux.lead_acid"}},
		// 14.6 V less 0.2 V of a diode.
		{Name: "behind a diode", Subject: "aux", Edits: cells(`"LFP"`, "4", "12.8", "14.6", set, "14.7", "diodes.d", `{}`,
			"wires.w50", `{"from": "d.cathode", "to": "aux.pos", "size": "70 mm2", "length_m": 0.1}`,
			"wires.w52", `{"from": "plus.stud", "to": "d.anode", "size": "70 mm2", "length_m": 0.1}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 14.5, Capability: 14.6}},
	})
}
