package calc

import (
	"math"
	"testing"
)

func TestKFactorAgainstTable(t *testing.T) {
	// IEC 60364-5-54 Annex A and IEC 60364-4-43 Table 43A print whole numbers;
	// the formula is within 0.8 of each.
	for _, r := range published(t, "k_values") {
		got := followed(t)(KFactor(Copper(), r.num(t, "initial_C"), r.num(t, "final_C")))
		if math.Abs(got-r.num(t, "k_printed")) > 0.8 {
			t.Errorf("%s: k = %.2f, printed %s", r["case"], got, r["k_printed"])
		}
		near(t, r["case"], got, r.num(t, "k_computed"), 0.005)
	}
	// The same tables for aluminium, from memory: PVC 76, XLPE and EPR 94.
	near(t, "aluminium, PVC", followed(t)(KFactor(Aluminium(), 70, 160)), 76, 0.7)
	near(t, "aluminium, XLPE", followed(t)(KFactor(Aluminium(), 90, 250)), 94, 0.7)
	// Rubber, PVC of 90 C and silicone, from memory.
	near(t, "rubber", followed(t)(KFactor(Copper(), 60, 200)), 141, 0.5)
	near(t, "PVC 90 C", followed(t)(KFactor(Copper(), 90, 160)), 100, 0.5)
	near(t, "silicone", followed(t)(KFactor(Copper(), 180, 350)), 132, 0.5)
}

func TestKFactorFollowsTheStart(t *testing.T) {
	// A cable of 125 C that runs at its limit has k = 123, not the printed 143;
	// from 60 C it has 159.
	near(t, "from 125 C", followed(t)(KFactor(Copper(), 125, 250)), 123, 0.5)
	near(t, "from 60 C", followed(t)(KFactor(Copper(), 60, 250)), 159, 0.5)
	before := math.Inf(1)
	for start := -40.0; start < 250; start += 10 {
		k := followed(t)(KFactor(Copper(), start, 250))
		if k >= before {
			t.Errorf("k from %g C is %g, not less than from cooler", start, k)
		}
		before = k
	}
	for _, tc := range [][2]float64{{250, 250}, {260, 250}, {math.NaN(), 250}, {90, math.NaN()}, {90, 2000}} {
		if k, err := KFactor(Copper(), tc[0], tc[1]); err == nil {
			t.Errorf("k from %g to %g C is %g, want an error", tc[0], tc[1], k.Value)
		}
	}
}

func TestShortTimeLimits(t *testing.T) {
	for material, want := range map[string]float64{"PVC": 160, "XLPE": 250, "EPR": 250, "silicone": 350, "butyl": 220} {
		if got, ok := ShortTimeLimitC(material); !ok || got != want {
			t.Errorf("%s: %g C, %v; want %g C", material, got, ok, want)
		}
	}
	if c, ok := ShortTimeLimitC("paper"); ok {
		t.Errorf("paper bears %g C", c)
	}
}
