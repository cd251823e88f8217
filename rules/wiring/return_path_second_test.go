package wiring

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

func TestReturnPathSecond(t *testing.T) {
	rule := returnPathSecond()
	t.Run("a contactor in the negative side alone is silent", func(t *testing.T) {
		edits := rule.Example.Edits
		ruletest.Silent(t, rule, "mole", edits[:len(edits)-1]...)
		got := ruletest.On(t, rule, "mole", edits[:len(edits)-1]...)
		if _, ok := got["main_contactor"]; !ok {
			t.Error("the contactor was not recognised as one in the negative side")
		}
	})
	t.Run("a contactor in the positive side is another rule's", func(t *testing.T) {
		if got := ruletest.On(t, rule, "mole"); len(got) != 0 {
			t.Errorf("results %v", got)
		}
	})
}
