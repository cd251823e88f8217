package busbar

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

var fixture = ruletest.Fixture{File: "testdata/fixture.yaml"}

const hill = `{"roll": {"draw": {"drive": {"current_A": 100}}}, "hill": {"draw": {"drive": {"current_A": 700}}}}`

// low is the fixture with a pack of class A, 16 LFP cells.
func low() []rules.Edit {
	return ruletest.Edits("batteries.pack.min_V", "40", "batteries.pack.nominal_V", "48", "batteries.pack.max_V", "58.4", "controllers.drive.min_V", "36")
}

func TestFamily(t *testing.T) {
	ruletest.Family(t, Rules(), ruletest.Except{}, fixture)
}
