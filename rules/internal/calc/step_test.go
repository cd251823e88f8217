package calc

import (
	"math"
	"testing"
)

// The series RLC circuit by its textbook cases. Critically damped, R = 2
// sqrt(L/C), the current is V t/L exp(-t/T) with T = sqrt(LC), and peaks at
// t = T: V/(e sqrt(L/C)). Without damping it is V/sqrt(L/C); with all of it, V/R.
func TestStepPeak(t *testing.T) {
	const volt, henry, farad = 100, 4e-6, 250e-6
	wave := math.Sqrt(henry / farad) // 0.12649 Ohm
	for _, tt := range []struct {
		name      string
		ohm, want float64
	}{
		{"critical", 2 * wave, volt / (math.E * wave)},
		{"hardly damped", 1e-9, volt / wave},
		{"overdamped", 1e4 * wave, volt / (1e4 * wave)},
		// R = 0.1 Ohm: a = 12500, w0 = 31622.8, w = 29047.4 1/s, t = 40.09 us, so
		// 790.57 A exp(-0.50113) = 478.98 A; a numerical integration gives the same.
		{"usual", 0.1, integrateStep(volt, 0.1, henry, farad)},
		{"overdamped a little", 0.4, integrateStep(volt, 0.4, henry, farad)},
	} {
		got, err := StepPeak(volt, tt.ohm, henry, farad)
		if err != nil || math.Abs(got.A-tt.want) > 1e-3*tt.want {
			t.Errorf("%s: %v, want %v (%v)", tt.name, got.A, tt.want, err)
		}
		followSteps(t, got.Steps())
	}
	got, err := StepPeak(volt, 0.1, 0, farad)
	if err != nil || got.A != 1000 {
		t.Errorf("without inductance: %v, want 1000 (%v)", got.A, err)
	}
	followSteps(t, got.Steps())
	if _, err := StepPeak(volt, 0, henry, farad); err == nil {
		t.Error("a loop without resistance is not refused")
	}
}

// integrateStep finds the peak current by small steps (semi-implicit Euler).
func integrateStep(volt, ohm, henry, farad float64) (peak float64) {
	var i, v float64
	const dt = 1e-9
	for range 200_000 {
		i += dt / henry * (volt - v - ohm*i)
		v += dt / farad * i
		peak = max(peak, i)
	}
	return peak
}

// The time above a level is that of the integration, swinging or creeping; without
// inductance it is R C ln(V / (R I)).
func TestAbove(t *testing.T) {
	const volt, henry, farad = 100, 4e-6, 250e-6
	for _, ohm := range []float64{0.001, 0.1, 2 * math.Sqrt(henry/farad), 0.4, 3} {
		p, err := StepPeak(volt, ohm, henry, farad)
		if err != nil {
			t.Fatal(err)
		}
		for _, share := range []float64{0.1, 0.5, 0.95} {
			near(t, "time above", p.Above(share*p.A), integrateAbove(volt, ohm, henry, farad, share*p.A), 0.1)
		}
		if s := p.Above(1.01 * p.A); s != 0 {
			t.Errorf("%g s above more than its peak", s)
		}
	}
	p, err := StepPeak(volt, 0.1, 0, farad)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "without inductance", p.Above(500), 0.1*farad*math.Ln2, 1e-4)
}

// integrateAbove is the time in s of the first wave above a level, by small steps.
func integrateAbove(volt, ohm, henry, farad, amperes float64) (s float64) {
	var i, v float64
	const dt = 1e-9
	for range 3_000_000 {
		i += dt / henry * (volt - v - ohm*i)
		v += dt / farad * i
		switch {
		case i > amperes:
			s += dt
		case s > 0:
			return s
		}
	}
	return s
}
