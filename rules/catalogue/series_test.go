package catalogue_test

import (
	"context"
	"math"
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// seriesRule has a finding for each pair of elements in series that are not asked
// for the same current in some mode, corner or peak.
var seriesRule = &rules.Rule{ID: "series-disagrees", Family: "test", Level: rules.Error, Check: func(p *rules.Pass) {
	d := demand.For(p)
	for v := range p.Circuit.Nodes() {
		edges := p.Circuit.EdgesAt(circuit.Node(v))
		if len(edges) != 2 || edges[0] == edges[1] {
			continue // nothing in series
		}
		a, b := edges[0], edges[1]
		c := p.Subject(a.ID+" "+b.ID, "vehicle")
		x, ofX, failed := d.Carried(a.ID)
		y, ofY, failedToo := d.Carried(b.ID)
		switch {
		case failed != nil || failedToo != nil:
			c.Holds(true, "not solved")
		case !sameInEveryCorner(p, a, b):
			c.Fail("%s and %s differ in a corner", a.ID, b.ID)
		default:
			for i, in := range ofX {
				if o := ofY[i]; !alike(in.A, o.A) || !alike(in.Steady.A, o.Steady.A) || in.Drawer != o.Drawer {
					c.Fail("%s: %s %+v, %s %+v", in.Mode.ID, a.ID, in, b.ID, o)
					break
				}
			}
			if a.Kind == circuit.BatteryEdge || b.Kind == circuit.BatteryEdge {
				break // what a battery gives at a peak is worked out by its share of the packs
			}
			if len(x.Own) != len(y.Own) {
				c.Fail("%s has %d peaks of controllers, %s %d", a.ID, len(x.Own), b.ID, len(y.Own))
			}
			for i, step := range x.Own {
				if i < len(y.Own) && !alike(step.A, y.Own[i].A) {
					c.Fail("%s: %s %v A, %s %v A", step.What, a.ID, step.A, b.ID, y.Own[i].A)
				}
			}
			c.Holds(true, "the same")
		}
	}
}}

func sameInEveryCorner(p *rules.Pass, a, b *circuit.Edge) bool {
	for _, mode := range p.Circuit.States() {
		for _, k := range demand.Corners(mode) {
			if s := p.Circuit.Solve(k); s.Failed == "" && !alike(math.Abs(s.Current(a.ID)), math.Abs(s.Current(b.ID))) {
				return false
			}
		}
	}
	return true
}

// alike compares currents in A; the solver keeps Kirchhoff's law to some microamperes.
func alike(a, b float64) bool { return math.Abs(a-b) <= 1e-4+1e-6*max(a, b) }

// Elements in series are asked for the same current, in every mode, corner and peak.
// The seeded faults are asked too, see outcome.
func TestSeriesAgrees(t *testing.T) {
	paths := append(soundVehicles(t), filepath.Join(ruletest.Fleet(), "..", "fleet-mistakes", "heron"))
	compared := 0
	for _, path := range paths {
		loaded := ruletest.Read(t, path)
		results, err := seriesOf(loaded.Spec)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range results {
			compared++
			if r.IsFinding() {
				t.Errorf("%s: %s", path, r.Message)
			}
		}
	}
	if compared < 300 {
		t.Errorf("%d pairs in series were compared", compared)
	}
}

func seriesOf(spec *schema.Spec) ([]rules.Result, error) {
	return rules.RunFor(context.Background(), rules.Reading{}, spec, []*rules.Rule{seriesRule})
}
