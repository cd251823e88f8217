package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 3.3 kOhm x 3300 uF x ln(84/60) = 3.664 s (WF14).
func TestLoadStaysLive(t *testing.T) {
	fixture.Play(t, loadStaysLive(), []ruletest.Scene{
		{Name: "shrouded", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "open pins", Edits: ruletest.Edits("connectors.plug.unmated.b", `"open"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 3.664, Capability: 1}},
		{Name: "open pins, discharged fast", Edits: ruletest.Edits("connectors.plug.unmated.b", `"open"`, "controllers.drive.bleed_kOhm", "0.9"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 0.99929}},
		{Name: "bleed not given", Edits: ruletest.Edits("connectors.plug.unmated.b", `"open"`, "controllers.drive.bleed_kOhm", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.bleed_kOhm"}},
		{Name: "below 60 V", Subject: "lamp_plug", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a spare", Edits: ruletest.Edits("connectors.plug.spare", "true")},
	})
}
