package switches

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// 14.4 V on 24 Ohm: 0.6 A.
func TestCutoutContactLow(t *testing.T) {
	fixture.Play(t, cutoutContactLow(), []ruletest.Scene{
		{Name: "a coil", Subject: "tc", Edits: withCutout(), Want: ruletest.Want{Verdict: rules.Passed, Capability: 2.5}},
		{Name: "12 V contact", Subject: "tc", Edits: withCutout("cutouts.tc.contact.rated_V_dc", "12"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 14.4, Capability: 12, Fix: "15 V DC"}},
		{Name: "half an ampere", Subject: "tc", Edits: withCutout("cutouts.tc.contact.carry_A", "0.5"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 0.5}},
		{Name: "for AC alone", Subject: "tc", Edits: withCutout("cutouts.tc.contact.rated_V_dc", "", "cutouts.tc.contact.rated_V_ac", "250"),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "cutouts.tc.contact.rated_V_dc"}},
		{Name: "current not given", Subject: "tc", Edits: withCutout("cutouts.tc.contact.carry_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "cutouts.tc.contact.carry_A"}},
		{Name: "a switch", Subject: "key.house", Edits: withCutout()},
		{Name: "a spare one", Subject: "tc", Edits: withCutout("cutouts.tc.spare", "true")},
	})
}
