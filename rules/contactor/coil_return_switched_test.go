package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestCoilReturnSwitched(t *testing.T) {
	rule := coilReturnSwitched()
	inReturn := rule.Example.Edits
	ruletest.Verdict(t, ruletest.On(t, rule, "heron", inReturn...), "main_contactor", rules.Failed)
	for name, edits := range map[string][]rules.Edit{
		"the key in the feed": nil,
		// A chafe to metalwork that belongs to no network closes nothing.
		"no metalwork in the network": append(ruletest.Edits("vehicle.chassis", `"isolated"`, "wires.w_chassis", ""), inReturn...),
	} {
		if got := ruletest.On(t, rule, "heron", edits...); len(got) > 0 {
			t.Errorf("%s: %v", name, got)
		}
	}
}
