package calc

import "testing"

func TestPowerLoad(t *testing.T) {
	// 72 V behind 30 mOhm gives at most V2/4R = 43.2 kW.
	limit := followed(t)(CollapsePower(72, 0.030))
	near(t, "collapse", limit, 43200, 1e-9)
	for _, p := range []float64{0, 100, 15000, 40000, limit * 0.999} {
		v, ok := PowerLoad(72, 0.030, p)
		if !ok || v < 36 {
			t.Errorf("%g W settles at %g V, %v", p, v, ok)
		}
		near(t, "power balance", v*(72-v)/0.030, p, 1e-6)
	}
	if v, ok := PowerLoad(72, 0.030, limit*1.001); ok {
		t.Errorf("above the collapse it settles at %g V", v)
	}
	if _, err := CollapsePower(72, 0); err == nil {
		t.Error("a source without resistance collapses")
	}
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
