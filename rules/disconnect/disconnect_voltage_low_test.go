package disconnect

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestDisconnectVoltageLow(t *testing.T) {
	rule := disconnectVoltageLow()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the end of charge", Subject: "iso", Want: ruletest.Want{Verdict: rules.Passed, Demand: 84, Capability: 100}},
		{Name: "nominal is not enough", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.rated_V_dc", "80"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 84, Capability: 80, Fix: "84 V DC"}},
		{Name: "regeneration counts", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.rated_V_dc", "84", "controllers.drive.regen_A", "50"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 85}}, // 84 V + 50 A x 20 mOhm
		{Name: "regeneration into an unknown resistance", Subject: "iso", Edits: ruletest.Edits("controllers.drive.regen_A", "50", "batteries.pack.resistance_mOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
		{Name: "not given", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.rated_V_dc", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "disconnects.iso.rated_V_dc"}},
		{Name: "spare", Subject: "other", Edits: ruletest.Edits("disconnects.other", `{"rated_V_dc": 12, "spare": true}`)},
	})
	// The disconnect of a cart of 58.4 V, rated 32 V.
	r := ruletest.Run(t, ruletest.Changed(t, "../../testdata/first/first.yaml", ruletest.Edits("disconnects.isolator.rated_V_dc", "32")...), []*rules.Rule{rule})
	if len(r) != 1 || !r[0].IsFinding() || r[0].Demand.Value != 58.4 {
		t.Errorf("a disconnect rated 32 V on 58.4 V: %+v", r)
	}
}
