package calc

import (
	"math"
	"testing"
)

func TestPowerLoad(t *testing.T) {
	// 72 V behind 30 mOhm gives at most V2/4R = 43.2 kW.
	limit := followed(t)(CollapsePower(72, 0.030))
	near(t, "collapse", limit, 43200, 1e-9)
	for _, p := range []float64{0, 100, 15000, 40000, limit} {
		v, i, ok := PowerLoad(72, 0.030, p)
		if !ok {
			t.Errorf("%g W has no solution", p)
		}
		near(t, "power balance", v*i, p, 1e-6)
		near(t, "loop", v, Sag(72, 0.030, i), 1e-6)
		if v < 36-1e-9 {
			t.Errorf("%g W settles at %g V, on the lower branch", p, v)
		}
	}
	if v, i, ok := PowerLoad(72, 0.030, limit*1.001); ok {
		t.Errorf("above the collapse it settles at %g V, %g A", v, i)
	}
	for _, tc := range [][3]float64{{0, 1, 1}, {72, -1, 1}, {72, 1, -1}, {72, math.NaN(), 1}} {
		if v, _, ok := PowerLoad(tc[0], tc[1], tc[2]); ok || math.IsNaN(v) {
			t.Errorf("PowerLoad%v = %g, %v", tc, v, ok)
		}
	}
	if _, err := CollapsePower(72, 0); err == nil {
		t.Error("a source without resistance collapses")
	}
	near(t, "regeneration raises", Sag(84, 0.028, -40), 85.12, 1e-9)
}

func TestFaultCurrent(t *testing.T) {
	// Battery resistance runs against copper: the greatest fault has the least
	// battery resistance, not the typical.
	r := must[ResistanceRange](t)(BatteryRange(0.028, 0.6, 2))
	near(t, "range", r.Min, 0.0168, 1e-9)
	near(t, "range", r.Max, 0.056, 1e-9)
	most := must[float64](t)(FaultCurrent(84, r.Min, 0.002))
	typ := must[float64](t)(FaultCurrent(84, r.Typ, 0.002))
	least := must[float64](t)(FaultCurrent(60, r.Max, 0.003))
	if !(most > typ && typ > least) {
		t.Errorf("faults of %g, %g and %g A", most, typ, least)
	}
	near(t, "most", most, 84/0.0188, 1e-9)
	for name, f := range map[string]func() (float64, error){
		"no resistance":       func() (float64, error) { return FaultCurrent(84) },
		"zero resistance":     func() (float64, error) { return FaultCurrent(84, 0, 0) },
		"negative resistance": func() (float64, error) { return FaultCurrent(84, 0.1, -0.01) },
		"no voltage":          func() (float64, error) { return FaultCurrent(0, 0.1) },
	} {
		if a, err := f(); err == nil {
			t.Errorf("%s: %g A, want an error", name, a)
		}
	}
	for _, tc := range [][3]float64{{0, 0.6, 2}, {0.1, 0, 2}, {0.1, 1.1, 2}, {0.1, 0.6, 0.9}, {0.1, math.NaN(), 2}} {
		if r, err := BatteryRange(tc[0], tc[1], tc[2]); err == nil {
			t.Errorf("BatteryRange%v = %v, want an error", tc, r)
		}
	}
}

func TestParallelingCurrent(t *testing.T) {
	near(t, "2 V apart", must[float64](t)(ParallelingCurrent(52, 50, 0.02, 0.02, 0.01)), 40, 1e-9)
	near(t, "equal", must[float64](t)(ParallelingCurrent(50, 50, 0.02)), 0, 0)
}

func TestCellVoltages(t *testing.T) {
	for _, chemistry := range []string{"LFP", "NMC", "NCA", "LCO", "LTO", "lead-acid"} {
		if w, ok := CellVoltages(chemistry); !ok || !(w.MinV < w.NominalV && w.NominalV < w.MaxV) {
			t.Errorf("%s: %+v, %v", chemistry, w, ok)
		}
	}
	if w, ok := CellVoltages("zinc"); ok {
		t.Errorf("zinc has %+v", w)
	}
}

func TestStarterBatteryTable(t *testing.T) {
	// ABYC E-11 Table V-A, at the edges of its bands.
	rows := published(t, "abyc_aic")
	for i, amps := range [][]float64{{1, 650}, {651, 1100}, {1101, 2200}} {
		for _, a := range amps {
			main, branch, ok := StarterBatteryInterruptingA(a)
			if !ok || main != rows[i].num(t, "main_A") || branch != rows[i].num(t, "branch_A") {
				t.Errorf("%g cold cranking A: %g and %g A, %v; want %s", a, main, branch, ok, rows[i]["main_A"])
			}
		}
	}
	for _, a := range []float64{0, -1, 2201, math.NaN()} {
		if main, _, ok := StarterBatteryInterruptingA(a); ok {
			t.Errorf("%g cold cranking A: %g A, want none", a, main)
		}
	}
}

// The windows of the chemistries as data sheets of cells give them, V.
func TestCellVoltagesOfTheChemistries(t *testing.T) {
	for chemistry, want := range map[string]CellWindow{
		"LFP": {2.5, 3.2, 3.65}, "NMC": {3.0, 3.6, 4.2}, "NCA": {3.0, 3.6, 4.2}, "LCO": {2.6, 3.6, 4.2},
		"LTO": {1.5, 2.4, 2.8}, "lead-acid": {1.75, 2.0, 2.45},
	} {
		if got, _ := CellVoltages(chemistry); got != want {
			t.Errorf("%s: %v, want %v", chemistry, got, want)
		}
	}
}
