package disconnect

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

var fixture = ruletest.Fixture{File: "testdata/fixture.yaml"}

// climbing replaces the modes: 150 A for 60 s in every 300 s, and nothing between.
func climbing(more ...rules.Edit) []rules.Edit {
	return append(ruletest.Edits("modes.climb", `{"closed": ["iso", "key"], "draw": {"drive": {"current_A": 150}}, "lasts_s": 60, "every_s": 300}`), more...)
}

func TestFamily(t *testing.T) {
	ruletest.Family(t, Rules(), ruletest.Except{}, fixture)
}
