package conductor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestInsulationVoltageLow(t *testing.T) {
	// 110 V at the end of charge; 40 A of regeneration over 10 mOhm add 0.4 V.
	fixture.Play(t, insulationVoltageLow(), []ruletest.Scene{
		{Name: "600 V on a full pack", Subject: "out", Want: ruletest.Want{Verdict: rules.Passed, Demand: 110, Capability: 600}},
		{Name: "regeneration adds to a full pack", Subject: "out", Edits: ruletest.Edits("controllers.drive.regen_A", "40"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 110.4}},
		{Name: "60 V on the pack's return", Subject: "home", Edits: ruletest.Edits("wires.home.insulation.rated_V", "60"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 110, Capability: 60, Fix: "600 V"}},
		{Name: "not rated, at pack voltage", Subject: "out", Edits: ruletest.Edits("wires.out.insulation.rated_V", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "wires.out.insulation.rated_V"}},
		{Name: "not rated, in the house network", Subject: "lamp_pos", Edits: ruletest.Edits("wires.lamp_pos.insulation.rated_V", ""),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.8, Capability: 60}},
		{Name: "what regeneration adds is not known", Subject: "out", Edits: ruletest.Edits("controllers.drive.regen_A", "40", "batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		// A common negative does not bring the pack's voltage to the lamp's wires.
		{Name: "behind a converter that does not isolate", Subject: "lamp_neg",
			Edits: ruletest.Edits("converters.dcdc.isolated", "false", "vehicle.chassis", `"isolated"`, "wires.earth", "", "wires.join",
				`{"from": "dcdc.in_neg", "to": "dcdc.out_neg", "size": "4 mm2", "length_m": 0.2, "insulation": {"max_C": 105, "rated_V": 600}}`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 13.8, Capability: 60}},
	})
}

// Where the policy asks for half as much again, 58.4 V want 87.6 V: more than the 60 V
// that any vehicle cable is rated for, so that its rating has to be known.
func TestInsulationWithHeadroom(t *testing.T) {
	edits := ruletest.Edits("policy", `{"required": {"insulation-voltage-low": 1.5}}`, "wires.w9.insulation.rated_V", "")
	got := ruletest.On(t, insulationVoltageLow(), "../sound/gg-main-fuse.yaml", edits...)
	ruletest.Verdict(t, got, "w9", rules.NotChecked)
	ruletest.Verdict(t, got, "w3", rules.Passed)
}
