package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestAuxiliaryUndercharged(t *testing.T) {
	const set = "converters.dcdc.output.nominal_V"
	fixture.Play(t, auxiliaryUndercharged(), []ruletest.Scene{
		{Name: "no battery", Subject: "aux"},
		{Name: "four NMC cells, 3.45 V each", Subject: "aux", Edits: cells(`"NMC"`, "4", "14.4", "16.8", set, "13.8"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 14.4, Capability: 13.8}},
		{Name: "four LFP cells, 3.45 V each", Subject: "aux", Edits: cells(`"LFP"`, "4", "12.8", "14.6", set, "13.8"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.4, Capability: 13.8}},
		{Name: "four LFP cells, 3.30 V each", Subject: "aux", Edits: cells(`"LFP"`, "4", "12.8", "14.6", set, "13.2"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Demand: 13.4, Capability: 13.2}},
		{Name: "lead-acid below its voltage at rest", Subject: "aux", Edits: cells(`"lead-acid"`, "6", "12.6", "14.4", set, "12.6"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: 13.2, Capability: 12.6}},
		{Name: "a charger fills it", Subject: "aux", Edits: append(cells(`"NMC"`, "4", "14.4", "16.8", set, "13.8"), ruletest.Edits(
			"chargers.ch", `{"max_V": 16.8, "max_A": 5, "isolated": true}`,
			"wires.w60", `{"from": "ch.pos", "to": "aux.pos", "size": "6 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "ch.neg", "to": "aux.neg", "size": "6 mm2", "length_m": 0.1}`)...),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "chemistry not stated", Subject: "aux", Edits: auxiliary(nil), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.aux.chemistry"}},
		{Name: "cells not stated", Subject: "aux", Edits: cells(`"NMC"`, "", "12.8", "14.6"), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.aux.series"}},
	})
}
