package calc

import "testing"

// A beam on two supports under a spread load bends most in the middle, F l/8;
// mechanics of materials. 5 kA at 20 mm over 100 mm press 25 N (worked example of
// IEC 60865-1); on a bar of 20 x 3 mm, Z = 20 * 9 / 6 = 30 mm3, so 25 * 100 / 240
// = 10.4 N/mm2.
func TestBarStress(t *testing.T) {
	force := followed(t)(BarForce(5000, 20, 100))
	b := Bar{WidthMM: 20, ThicknessMM: 3, Metal: Copper()}
	near(t, "section modulus", follow(t, b.SectionModulus()), 30, 1e-9)
	near(t, "stress", followed(t)(BarStress(b, force, 100)), 10.4167, 0.01)
	if y := b.Yield().Value; y != 200 {
		t.Errorf("yield of copper %v", y)
	}
	if y := (Bar{Metal: Aluminium()}).Yield().Value; y != 160 {
		t.Errorf("yield of aluminium %v", y)
	}
	for name, wrong := range map[string]func() (Line, error){
		"no span":        func() (Line, error) { return BarStress(b, 1, 0) },
		"negative force": func() (Line, error) { return BarStress(b, -1, 1) },
		"no bar":         func() (Line, error) { return BarStress(Bar{Metal: Copper()}, 1, 1) },
	} {
		if _, err := wrong(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
