package calc

import (
	"math"
	"testing"
)

// Every row of IEC 60664-1 Tables F.1, F.2, F.5 and A.2.
func TestSpacingTables(t *testing.T) {
	for _, r := range published(t, "iec60664_impulse") {
		v := r.num(t, "line_to_neutral_V")
		for category, column := range map[OvervoltageCategory]string{CategoryI: "cat_I", CategoryII: "cat_II"} {
			got, err := ImpulseVoltage(v, category)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "impulse voltage at "+r["line_to_neutral_V"]+" V", follow(t, got), r.num(t, column), 0)
		}
	}
	for _, r := range published(t, "iec60664_clearance") {
		for degree, column := range map[int]string{1: "pd1_mm", 2: "pd2_mm", 3: "pd3_mm"} {
			got, err := Clearance(1000*r.num(t, "impulse_kV"), degree)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "clearance at "+r["impulse_kV"]+" kV, "+column, follow(t, got), r.num(t, column), 0)
		}
	}
	for _, r := range published(t, "iec60664_creepage") {
		for column, at := range map[string]struct {
			degree int
			group  string
		}{"pd1": {1, "II"}, "pd2_I": {2, "I"}, "pd2_II": {2, "II"}, "pd2_III": {2, "III"}, "pd3_I": {3, "I"}, "pd3_II": {3, "II"}, "pd3_III": {3, "III"}} {
			got, row, err := Creepage(r.num(t, "rms_V"), at.degree, at.group)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "creepage at "+r["rms_V"]+" V, "+column, follow(t, got), r.num(t, column), 0)
			near(t, "row", row, r.num(t, "rms_V"), 0)
		}
	}
	for _, r := range published(t, "iec60664_altitude") {
		if m := r.num(t, "altitude_m"); m <= 10000 {
			got, err := AltitudeFactor(m)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "factor at "+r["altitude_m"]+" m", follow(t, got), r.num(t, "multiplier"), 0)
		}
	}
}

// Between two rows the next one up holds; the factor for the altitude lies on
// the line between its rows.
func TestSpacingBetweenRows(t *testing.T) {
	if v, err := ImpulseVoltage(50.1, CategoryII); err != nil || v.Value != 800 {
		t.Errorf("impulse voltage above 50 V: %v, %v", v.Value, err)
	}
	if mm, err := Clearance(1501, 1); err != nil || mm.Value != 1 {
		t.Errorf("clearance above 1.5 kV: %v, %v", mm.Value, err)
	}
	if mm, row, err := Creepage(80.1, 3, "III"); err != nil || mm.Value != 2.2 || row != 100 {
		t.Errorf("creepage above 80 V: %v at %v, %v", mm.Value, row, err)
	}
	if f, err := AltitudeFactor(2500); err != nil || math.Abs(f.Value-1.07) > 1e-9 {
		t.Errorf("factor at 2500 m: %v, %v", f.Value, err)
	}
	if f, err := AltitudeFactor(-100); err != nil || f.Value != 1 {
		t.Errorf("factor below the sea: %v, %v", f.Value, err)
	}
}

func TestSpacingOutsideItsDomain(t *testing.T) {
	for name, f := range map[string]func() error{
		"voltage beyond F.1":       func() error { _, err := ImpulseVoltage(601, CategoryII); return err },
		"impulse beyond F.2":       func() error { _, err := Clearance(8001, 2); return err },
		"clearance at degree 4":    func() error { _, err := Clearance(800, 4); return err },
		"voltage beyond F.5":       func() error { _, _, err := Creepage(631, 2, "II"); return err },
		"creepage at degree 0":     func() error { _, _, err := Creepage(60, 0, "II"); return err },
		"no such material":         func() error { _, _, err := Creepage(60, 2, "IV"); return err },
		"altitude beyond A.2":      func() error { _, err := AltitudeFactor(10001); return err },
		"no number":                func() error { _, err := AltitudeFactor(math.NaN()); return err },
		"negative working voltage": func() error { _, err := ImpulseVoltage(-1, CategoryI); return err },
	} {
		if f() == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
