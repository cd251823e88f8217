package circuit

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"example.org/headroom/schema"
)

// In a linear vehicle all voltages and currents go with the sources: twice the sources
// give twice of all, and each source adds what it gives by itself.
func TestLinearVehiclesScaleAndAdd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := choices(rapid.SliceOfN(rapid.Byte(), 20, 120).Draw(t, "choices"))
		spec := resistive(&text)
		// with is the same vehicle with its sources times a factor each.
		with := func(factor func(id string) float64) *Solution {
			other := *spec
			other.Batteries = map[string]*schema.Battery{}
			for id, b := range spec.Batteries {
				scaled := *b
				scaled.NominalV *= factor(id)
				other.Batteries[id] = &scaled
			}
			s := New(&other).Solve(Case{Mode: "use"})
			if s.Failed != "" {
				t.Fatal(s.Failed)
			}
			return s
		}
		whole := with(func(string) float64 { return 1 })
		k := rapid.Float64Range(0.2, 5).Draw(t, "factor")
		scaled := with(func(string) float64 { return k })
		added := map[string]float64{}
		most := 0.0
		for one := range spec.Batteries {
			alone := with(func(id string) float64 {
				if id == one {
					return 1
				}
				return 0
			})
			for _, e := range whole.network.Edges {
				added[e.ID] += alone.Current(e.ID)
				most = max(most, math.Abs(alone.Current(e.ID)))
			}
		}
		for _, e := range whole.network.Edges {
			i := whole.Current(e.ID)
			if j := scaled.Current(e.ID); math.Abs(j-k*i) > 1e-5*(1+k)*(1+most) {
				t.Errorf("%s carries %v A, and with all sources times %v %v A", e.ID, i, k, j)
			}
			if math.Abs(added[e.ID]-i) > 1e-5*(1+most) {
				t.Errorf("%s carries %v A, and the sources one by one add up to %v A", e.ID, i, added[e.ID])
			}
		}
	})
}
