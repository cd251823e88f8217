package switches

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

var fixture = ruletest.Fixture{File: "testdata/fixture.yaml"}

// lead lays a short piece of thick cable.
func lead(id, from, to string) []rules.Edit {
	return ruletest.Edits("wires."+id, `{"from": "`+from+`", "to": "`+to+`", "size": "70 mm2", "length_m": 0.01}`)
}

func TestFamily(t *testing.T) {
	ruletest.Family(t, Rules(), ruletest.Except{}, fixture)
}
