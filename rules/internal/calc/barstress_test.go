package calc

import "testing"

// A beam on two supports under a spread load bends most in the middle, F l/8;
// mechanics of materials. 5 kA at 20 mm over 100 mm press 25 N (worked example of
// IEC 60865-1); on a bar of 20 x 3 mm, Z = 20 * 9 / 6 = 30 mm3, so 25 * 100 / 240
// = 10.4 N/mm2.
func TestBarStress(t *testing.T) {
	force, err := BarForce(5000, 0.02, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	b := Bar{WidthMM: 20, ThicknessMM: 3, Metal: Copper()}
	got, err := BarStress(b, force, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "stress", got, 10.4167, 0.01)
	if y := b.YieldNmm2(); y != 200 {
		t.Errorf("yield of copper %v", y)
	}
	if y := (Bar{Metal: Aluminium()}).YieldNmm2(); y != 160 {
		t.Errorf("yield of aluminium %v", y)
	}
	for name, wrong := range map[string]func() (float64, error){
		"no span":        func() (float64, error) { return BarStress(b, 1, 0) },
		"negative force": func() (float64, error) { return BarStress(b, -1, 1) },
		"no bar":         func() (float64, error) { return BarStress(Bar{Metal: Copper()}, 1, 1) },
	} {
		if _, err := wrong(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
