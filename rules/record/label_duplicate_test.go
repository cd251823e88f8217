package record

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestLabelDuplicate(t *testing.T) {
	got := ruletest.On(t, labelDuplicate(), "heron", ruletest.Edits("fuses.main.label", `"f77"`, "fuses.charge_fuse.label", `"F77"`,
		"wires.w_enable.label", `"W 7"`, "busbars.b_comb_1.label", `"W 7"`)...)
	ruletest.Expect(t, got, "charge_fuse", ruletest.Want{Verdict: rules.Failed, Message: "charge_fuse is labelled F77, and so is main"})
	ruletest.Expect(t, got, "shunt", ruletest.Want{Verdict: rules.Passed})
	ruletest.Expect(t, got, "main", ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "main is labelled f77, and so is charge_fuse"})
	ruletest.Expect(t, got, "b_comb_1", ruletest.Want{Verdict: rules.Failed, Message: "so is w_enable"})
	if _, ok := got["plus"]; ok {
		t.Error("a part without a label has a result")
	}
}
