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

func TestOpening(t *testing.T) {
	spec := CurveSpec{Class: "other", RatedA: 100, Max: []Point{{135, 1800}, {200, 60}, {600, 1}}}
	c, err := NewCurve(spec)
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		a       float64
		numbers string
	}{
		{100, ""},
		{135, "1800 * (60 / 1800)^(ln(135 / 135) / ln(200 / 135))"},
		{150, "1800 * (60 / 1800)^(ln(150 / 135) / ln(200 / 135))"},
		{200, "1800 * (60 / 1800)^(ln(200 / 135) / ln(200 / 135))"},
		{201, "60 * (1 / 60)^(ln(201 / 200) / ln(600 / 200))"},
		{600, "min(1, max(0.001, 600^2 * 1 / 600^2))"},
		{900, "min(1, max(0.001, 600^2 * 1 / 900^2))"},
	} {
		l, how := c.Opening(tc.a)
		if l.Numbers() != tc.numbers || l.Value != c.MaxTime(tc.a) || (how == "") != (tc.numbers == "") {
			t.Errorf("%g A: %s = %v%s", tc.a, l.Numbers(), l.Value, how)
		}
		follow(t, l)
	}
	for _, max := range [][]Point{nil, spec.Max} {
		spec.Max, spec.TotalI2t = max, 40000
		if c, err = NewCurve(spec); err != nil {
			t.Fatal(err)
		}
		l, how := c.Opening(3000)
		if near(t, "by the total I2t", follow(t, l), 40000.0/9e6, 1e-9); how != ", by its total I2t" {
			t.Errorf("%s = %v%s", l.Numbers(), l.Value, how)
		}
	}
	if n := len(c.MaxPoints()); n != 3 {
		t.Errorf("%d points", n)
	}
}
