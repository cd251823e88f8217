package connector

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 8 mm at 0.5 m/s are 16 ms, 3 mm are 6 ms (WF15).
func TestPilotSlow(t *testing.T) {
	fixture.Play(t, pilotSlow(), []ruletest.Scene{
		{Name: "long pilot", Want: ruletest.Want{Verdict: rules.Passed, Demand: 12, Capability: 16}},
		{Name: "short pilot", Edits: ruletest.Edits("connectors.plug.pilot.lead_mm", "3"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 12, Capability: 6}},
		{Name: "plain diode", Edits: ruletest.Edits("contactors.k1.coil.suppression", `"diode"`), Want: ruletest.Want{Verdict: rules.Failed, Demand: 100, Capability: 16}},
		{Name: "parts of its own across the coil", Edits: ruletest.Edits("contactors.k1.coil.suppression", `"external"`, "contactors.k1.coil.clamp_V", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k1.coil.suppression"}},
		{Name: "too short for any", Edits: ruletest.Edits("contactors.k1.coil.suppression", `"external"`, "contactors.k1.coil.clamp_V", "", "connectors.plug.pilot.lead_mm", "3"),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 12, Capability: 6}},
		{Name: "long enough for any", Edits: ruletest.Edits("contactors.k1.coil.suppression", `"external"`, "contactors.k1.coil.clamp_V", "", "connectors.plug.pilot.lead_mm", "60"),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 100, Capability: 120}},
		{Name: "lever in two stages", Edits: ruletest.Edits("connectors.plug.pilot.lead_mm", "3", "connectors.plug.two_stage", "true"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "suppression not given", Edits: ruletest.Edits("contactors.k1.coil.suppression", "", "contactors.k1.coil.clamp_V", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "contactors.k1.coil.suppression"}},
		{Name: "lead not given", Edits: ruletest.Edits("connectors.plug.pilot.lead_mm", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "connectors.plug.pilot.lead_mm"}},
		{Name: "no pilot", Subject: "lamp_plug"},
	})
}
