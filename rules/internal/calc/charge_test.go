package calc

import "testing"

func TestCells(t *testing.T) {
	for _, tc := range []struct {
		chemistry      string
		nominalV, full float64
		cells          int
		ok             bool
	}{
		{"lead-acid", 12, 14.4, 6, true}, {"lead-acid", 12.6, 14.7, 6, true}, {"LFP", 12.8, 14.6, 4, true}, {"LFP", 12, 14.6, 4, true},
		{"NMC", 11.1, 12.6, 3, true}, {"NMC", 14.8, 16.8, 4, true}, {"LTO", 12, 14, 5, true},
		{"NMC", 12.8, 14.6, 4, false}, // either three or four
		{"other", 12, 14, 0, false}, {"", 12, 14, 0, false},
	} {
		if n, ok := Cells(tc.chemistry, tc.nominalV, tc.full); ok != tc.ok || ok && n != tc.cells {
			t.Errorf("%s %g/%g V: %d %v, want %d %v", tc.chemistry, tc.nominalV, tc.full, n, ok, tc.cells, tc.ok)
		}
	}
}

// A window lies in order, and the more is known of a battery the narrower it is.
func TestChargeVoltages(t *testing.T) {
	for _, chemistry := range []string{"LFP", "NMC", "NCA", "LCO", "LTO", "lead-acid"} {
		wide, ok := ChargeVoltages(chemistry, "")
		if !ok {
			t.Fatalf("%s has no window", chemistry)
		}
		for _, construction := range []string{"", "flooded", "AGM", "gel"} {
			w, _ := ChargeVoltages(chemistry, construction)
			if !(w.HalfV <= w.StarvedV && w.StarvedV <= w.FloatMinV && w.FloatMinV < w.FloatMaxV && w.FloatMaxV < w.NeverV) {
				t.Errorf("%s %s: %+v is not in order", chemistry, construction, w)
			}
			if w.FloatMinV < wide.FloatMinV || w.NeverV > wide.NeverV || w.FloatMaxV > wide.FloatMaxV {
				t.Errorf("%s %s: %+v is wider than %+v", chemistry, construction, w, wide)
			}
			if cell, _ := CellVoltages(chemistry); chemistry != "lead-acid" && w.NeverV != cell.MaxV {
				t.Errorf("%s: never above %g V, end of charge %g V", chemistry, w.NeverV, cell.MaxV)
			}
		}
	}
	if _, ok := ChargeVoltages("other", ""); ok {
		t.Error("an unknown chemistry has a window")
	}
}
