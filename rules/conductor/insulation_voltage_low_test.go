package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestInsulationVoltageLow(t *testing.T) {
	// 110 V at the end of charge; 40 A of regeneration over 10 mOhm add 0.4 V.
	play(t, insulationVoltageLow(),
		ruletest.Scene{Name: "600 V on a full pack", Subject: "out", Want: ruletest.Want{Verdict: rules.Passed, Demand: 110, Capability: 600}},
		ruletest.Scene{Name: "regeneration adds to a full pack", Subject: "out", Edits: edits("controllers.drive.regen_A", "40"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 110.4}},
		ruletest.Scene{Name: "60 V on the pack's return", Subject: "home", Edits: edits("wires.home.insulation.rated_V", "60"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 110, Capability: 60, Fix: "600 V"}},
		ruletest.Scene{Name: "not rated, at pack voltage", Subject: "out", Edits: edits("wires.out.insulation.rated_V", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "wires.out.insulation.rated_V"}},
		ruletest.Scene{Name: "not rated, in the house network", Subject: "lamp_pos", Edits: edits("wires.lamp_pos.insulation.rated_V", ""),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.8, Capability: 60}},
		ruletest.Scene{Name: "what regeneration adds is not known", Subject: "out", Edits: edits("controllers.drive.regen_A", "40", "batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		// A common negative does not bring the pack's voltage to the lamp's wires.
		ruletest.Scene{Name: "behind a converter that does not isolate", Subject: "lamp_neg",
			Edits: edits("converters.dcdc.isolated", "false", "vehicle.chassis", `"isolated"`, "wires.earth", "", "wires.join",
				`{"from": "dcdc.in_neg", "to": "dcdc.out_neg", "size": "4 mm2", "length_m": 0.2, "insulation": {"max_C": 105, "rated_V": 600}}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.8, Capability: 60}},
	)
}
