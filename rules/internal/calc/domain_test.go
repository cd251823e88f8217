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
	cable := Cable{Size: size(t, "35 mm2")}
	bar := copperBar(25, 3)
	charging := Charging{SourceV: nan, SeriesOhm: 1, CapacitanceF: 1}
	for name, f := range map[string]func() (float64, error){
		"voltage drop":          func() (float64, error) { d, err := VoltageDrop(-1, 1, 12); return d.V, err },
		"drop of no network":    func() (float64, error) { d, err := VoltageDrop(1, 1, 0); return d.V, err },
		"drop in mils":          func() (float64, error) { return DropCircularMils(1, 1, 0) },
		"drop area":             func() (float64, error) { return DropArea(1, 1, 0.1, nan) },
		"isolation":             func() (float64, error) { return IsolationOhm(0, 100) },
		"small-craft device":    func() (float64, error) { return SmallCraftLargestDevice(0, 12) },
		"bar resistance":        func() (float64, error) { return BarResistance(bar, -1, 20) },
		"bar temperature":       func() (float64, error) { return BarTemperature(bar, nan, 40) },
		"bar in hot air":        func() (float64, error) { return BarAmpacity(bar, 90, inf) },
		"rod":                   func() (float64, error) { return RodAmpacity(0) },
		"tube without wall":     func() (float64, error) { return TubeAmpacity(10, 10) },
		"final voltage":         valueOf(charging.FinalV()),
		"time constant":         valueOf(charging.TimeConstant()),
		"first current":         charging.FirstCurrentA,
		"resistor energy":       valueOf(charging.ResistorEnergy()),
		"bleed of no time":      func() (float64, error) { return DischargeResistor(0, 1, 84, 60) },
		"difference of nothing": func() (float64, error) { return InrushI2t(nan, 1, 1) },
		"ICEA area":             func() (float64, error) { return ICEAWithstand(0, 20, 100, 1) },
		"ICEA temperatures":     func() (float64, error) { return ICEAWithstand(1, 100, 20, 1) },
		"fusing area":           func() (float64, error) { return FusingCurrent(0, 20, 1) },
		"heat capacity":         func() (float64, error) { return HeatCapacity(Cable{}) },
		"cable time constant":   func() (float64, error) { return TimeConstant(cable, 20, 30) },
		"heating after":         func() (float64, error) { return HeatingAfter(1, 0, 0, 1, 1) },
		"current for no time":   func() (float64, error) { return CurrentForTime(0, 0, 1, 1) },
		"mean":                  func() (float64, error) { return Mean([]Interval{{1, nan}}) },
		"ambient factor":        func() (float64, error) { return AmbientFactor(90, 30, nan) },
		"collapse":              valueOf(CollapsePower(0, 1)),
		"operate voltage":       func() (float64, error) { return CoilVoltageAt(6, 20, nan) },
		"meter":                 valueOf(MeterReading(0, 50, 300, 50, 1)),
		"shunt power":           func() (float64, error) { return ShuntPower(0, 50, 1) },
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

func TestDropAreaIsTheInverse(t *testing.T) {
	// Copper of that area at that temperature drops just what is permitted; K =
	// 10.75 of ABYC E-11 is copper at 29 C.
	area := must[float64](t)(DropArea(150, 3, 0.3, 70))
	ohm := CopperResistivity20 / area * CopperFactor(70) * 3
	near(t, "drop", must[Drop](t)(VoltageDrop(150, ohm, 96)).V, 0.3, 1e-9)
	mils := must[float64](t)(DropCircularMils(10, 21, 0.36))
	near(t, "circular mils", CircularMils(must[float64](t)(DropArea(10, 21*0.3048, 0.36, 29.3))), mils, 0.1)
}

// valueOf is what a function that gives a line has given.
func valueOf(l Line, err error) func() (float64, error) {
	return func() (float64, error) { return l.Value, err }
}
