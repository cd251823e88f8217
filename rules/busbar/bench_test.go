package busbar

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// bench is the vehicle of the tests of this family.
var bench = filepath.Join("testdata", "bench.yaml")

func edit(path, value string) rules.Edit { return rules.Edit{Path: path, Value: value} }

// edits is a list of edits as pairs of path and value.
func edits(pairs ...string) (list []rules.Edit) {
	for i := 0; i < len(pairs); i += 2 {
		list = append(list, edit(pairs[i], pairs[i+1]))
	}
	return list
}

func play(t *testing.T, rule *rules.Rule, scenes ...ruletest.Scene) {
	t.Helper()
	ruletest.Example(t, rule)
	ruletest.Play(t, rule, bench, scenes)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
}

const hill = `{"roll": {"draw": {"drive": {"current_A": 100}}}, "hill": {"draw": {"drive": {"current_A": 700}}}}`

// low is the bench with a pack of class A, 16 LFP cells.

func low() []rules.Edit {
	return edits("batteries.pack.min_V", "40", "batteries.pack.nominal_V", "48", "batteries.pack.max_V", "58.4", "controllers.drive.min_V", "36")
}
