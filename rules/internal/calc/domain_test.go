package calc

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// TestOutsideTheDomain asks each function something that has no answer: it
// must say so, with a DomainError that names the quantity, and give 0.
func TestOutsideTheDomain(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	bar := copperBar(25, 3)
	charging := Charging{SourceV: nan, SeriesOhm: 1, CapacitanceF: 1}
	for name, f := range map[string]func() (float64, error){
		"bar resistance":   func() (float64, error) { return BarResistance(bar, -1, 20) },
		"bar in hot air":   func() (float64, error) { return BarAmpacity(bar, 90, inf) },
		"final voltage":    valueOf(charging.FinalV()),
		"time constant":    valueOf(charging.TimeConstant()),
		"first current":    charging.FirstCurrentA,
		"resistor energy":  valueOf(charging.ResistorEnergy()),
		"bleed of no time": func() (float64, error) { return DischargeResistor(0, 1, 84, 60) },
		"heat capacity":    func() (float64, error) { return HeatCapacity(Cable{}) },
		"collapse":         valueOf(CollapsePower(0, 1)),
		"meter":            valueOf(MeterReading(0, 50, 300, 50, 1)),
	} {
		v, err := f()
		var domain *DomainError
		if !errors.As(err, &domain) {
			t.Errorf("%s: %g, %v; want a DomainError", name, v, err)
			continue
		}
		if v != 0 || domain.Quantity == "" || domain.Want == "" || !strings.Contains(err.Error(), domain.Want) {
			t.Errorf("%s: %g with %q", name, v, err)
		}
	}
}

func TestDomainErrorReadsPlainly(t *testing.T) {
	_, err := Resistance(size(t, "35 mm2"), -3, 20)
	if got, want := err.Error(), "length -3 m: must be a number, 0 or more"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestRoot(t *testing.T) {
	for name, tc := range map[string]struct {
		f      func(float64) float64
		lo, hi float64
		want   float64
	}{
		"straight":       {func(x float64) float64 { return x - 3 }, 0, 10, 3},
		"steep":          {func(x float64) float64 { return math.Pow(x, 9) - 1 }, 0, 10, 1},
		"flat":           {func(x float64) float64 { return math.Cbrt(x - 2) }, -5, 40, 2},
		"at the low end": {func(x float64) float64 { return x }, 0, 10, 0},
		"none, low end":  {func(x float64) float64 { return x + 1 }, 0, 10, 0},
		"none, high end": {func(x float64) float64 { return x - 11 }, 0, 10, 10},
	} {
		if got := root(tc.f, tc.lo, tc.hi, 1e-9); math.Abs(got-tc.want) > 1e-6 {
			t.Errorf("%s: %g, want %g", name, got, tc.want)
		}
	}
}

// valueOf is what a function that gives a line has given.
func valueOf(l Line, err error) func() (float64, error) {
	return func() (float64, error) { return l.Value, err }
}
