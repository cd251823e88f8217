package rules

import (
	"math"
	"testing"
)

// What is no number is not compared: it is neither a pass nor a finding.
func TestUncomputed(t *testing.T) {
	a := func(x float64) Quantity { return Quantity{Value: x, Unit: "A"} }
	for _, c := range []struct {
		demand, capability float64
		want               string
	}{
		{100, 50, ""}, {0, 50, ""}, {math.Inf(1), 50, ""}, {10, math.Inf(1), ""},
		{math.NaN(), 50, "the demand"}, {math.Inf(-1), 50, "the demand"},
		{100, math.NaN(), "the capability"}, {100, math.Inf(-1), "the capability"},
		{math.Inf(1), math.Inf(1), "the headroom"},
	} {
		if got := uncomputed(a(c.demand), a(c.capability), ratio(c.capability, c.demand)); got != c.want {
			t.Errorf("%g of %g: %q, want %q", c.demand, c.capability, got, c.want)
		}
	}
}
