package calc

import (
	"math"
	"testing"
)

// The terms of the balance make the ampacity: I2 R = f2 W, and each follows from
// the others.
func TestHeatBalanceMakesTheAmpacity(t *testing.T) {
	for _, tc := range []struct {
		size               string
		derating           float64
		conductor, ambient float64
	}{
		{"1.5 mm2", 1, 90, 40}, {"16 mm2", 0.8, 70, 30}, {"70 mm2", 0, 125, -10}, {"2/0 AWG", 0.7, 75, 30}, {"8 SAE", 0.56, 105, 65},
	} {
		size, err := ParseSize(tc.size)
		if err != nil {
			t.Fatal(err)
		}
		c := Cable{Size: size, Derating: tc.derating}
		iz, err := FreeAirAmpacity(c, tc.conductor, tc.ambient)
		if err != nil {
			t.Fatal(err)
		}
		b, err := FreeAirBalance(c, tc.conductor, tc.ambient)
		if err != nil {
			t.Fatal(err)
		}
		f := tc.derating
		if f == 0 {
			f = 1
		}
		d, rise := b.OuterDiameterMM/1000, b.SurfaceC-b.AmbientC
		for what, pair := range map[string][2]float64{
			"I_z":     {f * math.Sqrt(b.HeatWm/(size.R20*CopperFactor(tc.conductor))), iz},
			"W":       {b.Calibration * math.Pi * d * (b.ConvectionWm2K + b.RadiationWm2K) * rise, b.HeatWm},
			"T_s":     {b.ConductorC - b.HeatWm*b.InsulationKmW, b.SurfaceC},
			"h_c":     {b.Nusselt * b.ConductivityWmK / d, b.ConvectionWm2K},
			"section": {b.CopperShare * math.Pi / 4 * b.DiameterMM * b.DiameterMM, size.AreaMM2},
		} {
			// The surface temperature is found within 1e-6 K.
			if math.Abs(pair[0]-pair[1]) > 1e-6*math.Abs(pair[1]) {
				t.Errorf("%s at %g C in %g C: %s = %v from its terms, %v", tc.size, tc.conductor, tc.ambient, what, pair[0], pair[1])
			}
		}
	}
}

func TestHeatBalanceNeedsARise(t *testing.T) {
	size, _ := ParseSize("16 mm2")
	for _, conductor := range []float64{40, 30, math.NaN()} {
		if _, err := FreeAirBalance(Cable{Size: size}, conductor, 40); err == nil {
			t.Errorf("no error at %v C in 40 C", conductor)
		}
	}
}

// Film of air: at 25 C conductivity 0.0255 W/(m K), kinematic viscosity 15.6
// mm2/s and Prandtl number 0.71 in heat transfer textbooks (from memory), within
// 3 %.
func TestAirOfTheBalance(t *testing.T) {
	size, _ := ParseSize("16 mm2")
	b, err := FreeAirBalance(Cable{Size: size}, 31, 20)
	if err != nil {
		t.Fatal(err)
	}
	for what, pair := range map[string][2]float64{
		"k": {b.ConductivityWmK, 0.0255}, "nu": {1e6 * b.ViscosityM2s, 15.6}, "Pr": {b.Prandtl, 0.71},
	} {
		if math.Abs(pair[0]-pair[1]) > 0.03*pair[1] {
			t.Errorf("%s = %v, want %v", what, pair[0], pair[1])
		}
	}
}

func TestMaxSpan(t *testing.T) {
	c, err := NewCurve(CurveSpec{Class: "other", RatedA: 100, Max: []Point{{135, 1800}, {200, 60}, {600, 1}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		a        float64
		from, to float64 // 0 where it lies outside the points
	}{{100, 0, 0}, {135, 135, 200}, {150, 135, 200}, {200, 135, 200}, {201, 200, 600}, {600, 200, 600}, {601, 0, 0}} {
		a, b, ok := c.MaxSpan(tc.a)
		if a.CurrentA != tc.from || b.CurrentA != tc.to || ok != (tc.from > 0) {
			t.Errorf("%g A: %v to %v, %v", tc.a, a, b, ok)
		}
	}
	if n := len(c.MaxPoints()); n != 3 {
		t.Errorf("%d points", n)
	}
}
