package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestVoltageACOnly(t *testing.T) {
	fixture.Play(t, voltageACOnly(), []ruletest.Scene{
		{Name: "DC given", Subject: "main", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "AC alone", Edits: ruletest.Edits("fuses.main.rated_V_dc", "", "fuses.main.rated_V_ac", "250"), Subject: "main", Want: ruletest.Want{Verdict: rules.Failed, Message: "250 V"}},
		{Name: "both", Edits: ruletest.Edits("fuses.main.rated_V_ac", "250"), Subject: "main", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "neither is for another rule", Edits: ruletest.Edits("fuses.main.rated_V_dc", ""), Subject: "main"},
	})
}
