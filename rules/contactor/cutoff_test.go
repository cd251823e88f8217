package contactor

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/ruletest"
)

// What is searched from the sources once is what a path to each element finds, with
// each switch, contact, fuse and conductor open in turn.
func TestFeedingIsWhatHasAPath(t *testing.T) {
	sound, _ := filepath.Glob("../../testdata/sound/*.yaml")
	count := map[bool]int{}
	for _, path := range append(sound, filepath.Join(ruletest.Fleet(), "heron"), filepath.Join(ruletest.Fleet(), "mole")) {
		ruletest.Run(t, ruletest.Load(t, path), []*rules.Rule{{ID: "probe", Family: "probe", Check: func(p *rules.Pass) {
			for _, x := range p.Circuit.Edges {
				if !x.Conducts() {
					continue
				}
				c := &cutoff{p: p, open: map[string]bool{x.ID: true}}
				isFed := c.feeding()
				for _, e := range p.Circuit.Edges {
					switch e.Kind {
					case circuit.CoilEdge, circuit.EnableEdge, circuit.LoadEdge, circuit.MeterEdge, circuit.BatteryEdge:
						fed := c.path(e) != nil
						if count[fed]++; isFed(e) != fed {
							t.Errorf("%s: %s with %s open: fed %t", path, e.ID, x.ID, fed)
						}
					}
				}
			}
		}}})
	}
	if count[true] == 0 || count[false] == 0 {
		t.Error(count)
	}
}
