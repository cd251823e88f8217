package contactor

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// What is searched from the sources once is what a path to each element finds, with
// each switch, contact, fuse and conductor open in turn; diodes in a return included, either
// way round.
func TestFeedingIsWhatHasAPath(t *testing.T) {
	specs := []*schema.Spec{ruletest.Load(t, filepath.Join(ruletest.Fleet(), "heron")), ruletest.Load(t, filepath.Join(ruletest.Fleet(), "mole"))}
	sound, _ := filepath.Glob("../../testdata/sound/*.yaml")
	for _, path := range sound {
		specs = append(specs, ruletest.Load(t, path))
	}
	for _, ends := range [][2]string{{"anode", "cathode"}, {"cathode", "anode"}} {
		specs = append(specs, fixture.Replace(t, "wires:", "diodes: {d: {continuous_A: 5, reverse_V: 100}}\nwires:\n  back_in: {from: k.coil_neg, to: d."+ends[0]+", size: 1.5 mm2, length_m: 1}",
			"ret: {from: k.coil_neg,", "ret: {from: d."+ends[1]+",").Spec(t))
	}
	count := map[bool]int{}
	for _, spec := range specs {
		ruletest.Run(t, spec, []*rules.Rule{{ID: "probe", Family: "probe", Check: func(p *rules.Pass) {
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
							t.Errorf("%s: %s with %s open: fed %t", spec.Vehicle.Name, e.ID, x.ID, fed)
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
