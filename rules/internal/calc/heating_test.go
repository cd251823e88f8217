package calc

import (
	"math"
	"testing"
)

func TestHeatCapacityByHand(t *testing.T) {
	// 50 mm2 of copper of 3.45 J/(mm2 m K), 10 mm across, in 2 mm of PVC: van
	// Wormer's share 1/(2 ln 1.4) - 1/(1.4^2 - 1) = 0.4444 of 75.40 mm2 times 1.7.
	s := Size{Label: "by hand", AreaMM2: 50, R20: 1e-3, DiameterMM: 10}
	got := must[float64](t)(HeatCapacity(Cable{Size: s, WallMM: 2}))
	near(t, "heat capacity", got, 172.5+0.4444*75.40*1.7, 0.02)
}

// replicaTime is the thermal replica of IEC 60255-149, tau ln((I2 - Ip2)/(I2 - Iz2)):
// the time in s in which a current heats what long carried a prior current to the
// heat of its steady limit.
func replicaTime(currentA, priorA, limitA, tauS float64) float64 {
	i2 := currentA * currentA
	return tauS * math.Log((i2-priorA*priorA)/(i2-limitA*limitA))
}

// replicaHeldA is the same the other way round: the steady current whose heat is
// reached after s seconds.
func replicaHeldA(currentA, priorA, tauS, s float64) float64 {
	left := math.Exp(-s / tauS)
	return math.Sqrt(currentA*currentA*(1-left) + priorA*priorA*left)
}

// integrated steps the heating of a cable with a heat balance at every step:
// an independent answer to the table of Heating.
func integrated(t testing.TB, c Cable, ambientC, fromC, currentA, s float64) float64 {
	t.Helper()
	flow, err := c.heatFlow(ambientC)
	if err != nil {
		t.Fatal(err)
	}
	capacity := must[float64](t)(HeatCapacity(c))
	rate := func(temp float64) float64 {
		return (currentA*currentA*c.Size.R20*CopperFactor(temp) - flow.loss(temp)) / capacity
	}
	const n = 2000
	dt, temp := s/n, fromC
	for range n {
		k1 := rate(temp)
		k2 := rate(temp + dt/2*k1)
		k3 := rate(temp + dt/2*k2)
		k4 := rate(temp + dt*k3)
		temp += dt / 6 * (k1 + 2*k2 + 2*k3 + k4)
	}
	return temp
}

func TestHeatingAgainstIntegration(t *testing.T) {
	c := Cable{Size: size(t, "35 mm2")}
	h := must[*Heating](t)(NewHeating(c, 30, 250))
	for _, tc := range []struct{ from, current, s float64 }{
		{30, 200, 60}, {30, 200, 600}, {90, 0, 300}, {90, 100, 900}, {60, 400, 120}, {150, 50, 3000}, {30, 2000, 2},
	} {
		got, ok := h.After(tc.current, tc.from, tc.s)
		want := integrated(t, c, 30, tc.from, tc.current, tc.s)
		if !ok || math.Abs(got-want) > 0.2 {
			t.Errorf("%g A from %g C for %g s: %.2f C (%v), integrated %.2f C", tc.current, tc.from, tc.s, got, ok, want)
		}
	}
	for _, a := range []float64{20, 100, 170, 250} {
		got, ok := h.Steady(a)
		below, above := must[float64](t)(FreeAirAmpacity(c, got-0.2, 30)), must[float64](t)(FreeAirAmpacity(c, got+0.2, 30))
		if !ok || below > a || above < a {
			t.Errorf("%g A for ever: %.2f C (%v), which %.2f to %.2f A hold", a, got, ok, below, above)
		}
	}
}

func TestHeatingTimeIsTheInverse(t *testing.T) {
	h := must[*Heating](t)(NewHeating(Cable{Size: size(t, "16 mm2")}, 40, 160))
	justAbove := must[float64](t)(FreeAirAmpacity(Cable{Size: size(t, "16 mm2")}, 110, 40)) * 1.0005
	for _, a := range []float64{justAbove, 120, 150, 300, 1500} {
		s := h.TimeTo(a, 60, 110)
		got, ok := h.After(a, 60, s)
		if !ok || math.Abs(got-110) > 0.01 {
			t.Errorf("%g A reaches 110 C in %g s, but is then at %g C", a, s, got)
		}
	}
}

func TestHeatingTimesAdd(t *testing.T) {
	// The time through any temperature, points of the table and their
	// neighbours included, is the sum of both parts.
	h := must[*Heating](t)(NewHeating(Cable{Size: size(t, "25 mm2")}, 30, 156.15))
	whole := h.TimeTo(250, 60, 150)
	for i := range heatingSteps + 1 {
		for _, by := range []float64{0, math.Nextafter(h.node(i), 0) - h.node(i), math.Nextafter(h.node(i), 1e9) - h.node(i)} {
			if through := h.node(i) + by; through > 60 && through < 150 {
				near(t, "both parts", h.TimeTo(250, 60, through)+h.TimeTo(250, through, 150), whole, 1e-6)
				warm, ok := h.After(250, through, 1)
				if !ok || warm <= through {
					t.Errorf("from %g C a second heats to %g C, %v", through, warm, ok)
				}
				cold, ok := h.After(0, through, 1)
				if !ok || cold >= through {
					t.Errorf("from %g C a second cools to %g C, %v", through, cold, ok)
				}
			}
		}
	}
}

func TestHeatingBoundaries(t *testing.T) {
	c := Cable{Size: size(t, "16 mm2")}
	h := must[*Heating](t)(NewHeating(c, 40, 160))
	limit := must[float64](t)(FreeAirAmpacity(c, 90, 40))
	if s := h.TimeTo(0.99*limit, 40, 90); !math.IsInf(s, 1) {
		t.Errorf("below its ampacity a cable reaches its limit in %g s", s)
	}
	if s := h.TimeTo(1.01*limit, 40, 90); math.IsInf(s, 1) || s < 300 {
		t.Errorf("just above its ampacity a cable reaches its limit in %g s", s)
	}
	if s := h.TimeTo(1, 95, 90); s != 0 {
		t.Errorf("a cable that is hotter already takes %g s", s)
	}
	if temp, ok := h.After(5000, 40, 60); ok || temp != h.HottestC() {
		t.Errorf("5 kA for a minute: %g C, %v; want the end of the range and false", temp, ok)
	}
	if temp, ok := h.After(0, 90, 1e6); !ok || math.Abs(temp-40) > 0.1 {
		t.Errorf("after cooling for days: %g C, %v", temp, ok)
	}
	if temp, ok := h.After(10, 60, 0); !ok || temp != 60 {
		t.Errorf("after no time: %g C, %v", temp, ok)
	}
	for _, tc := range [][2]float64{{math.NaN(), 1}, {100, math.NaN()}, {100, -1}, {math.Inf(1), 1}} {
		if temp, ok := h.After(tc[0], 60, tc[1]); ok || temp != 60 {
			t.Errorf("after %v: %g C, %v; want false", tc, temp, ok)
		}
	}
	if s := h.TimeTo(math.NaN(), 60, 90); math.IsNaN(s) {
		t.Error("a current that is no number takes a time that is none")
	}
	forever, ok := h.After(50, 40, math.Inf(1))
	if steady, _ := h.Steady(50); !ok || math.Abs(forever-steady) > 0.01 {
		t.Errorf("after for ever %g C, steady %g C", forever, steady)
	}
	if _, ok := h.Steady(5000); ok {
		t.Error("5 kA are borne for ever")
	}
	for _, hottest := range []float64{40, 20, 500, math.NaN()} {
		if _, err := NewHeating(c, 40, hottest); err == nil {
			t.Errorf("a range from 40 to %g C is taken", hottest)
		}
	}
}

func TestHeatingIsMonotonic(t *testing.T) {
	h := must[*Heating](t)(NewHeating(Cable{Size: size(t, "25 mm2")}, 40, 200))
	before := math.Inf(1)
	for a := 50.0; a < 20000; a *= 1.05 {
		s := h.TimeTo(a, 60, 150)
		if s > before {
			t.Errorf("%g A takes %g s, longer than less current", a, s)
		}
		before = s
	}
	last := 0.0
	for s := 0.0; s < 3000; s += 50 {
		temp, _ := h.After(180, 40, s)
		if temp < last {
			t.Errorf("after %g s at %g C, cooler than before", s, temp)
		}
		last = temp
	}
}

func TestShortTimesAreAdiabatic(t *testing.T) {
	// Without the insulation's share the replica must give the k2 S2 of IEC
	// 60364-4-43 for a conductor of the resistance that k assumes.
	s := size(t, "35 mm2")
	s.R20 = CopperResistivity20 / s.AreaMM2
	s.WallMM = 1e-9
	h := must[*Heating](t)(NewHeating(Cable{Size: s}, 30, 250))
	k := followed(t)(KFactor(Copper(), 90, 250))
	near(t, "time to 250 C", h.TimeTo(10000, 90, 250), follow(t, WithstandI2t(35, k))/1e8, 1)
}

func TestCyclePeak(t *testing.T) {
	h := must[*Heating](t)(NewHeating(Cable{Size: size(t, "35 mm2")}, 30, 250))
	// A cycle that is short against the time constant is its RMS.
	short := []Interval{{300, 4}, {50, 16}}
	rms, length, err := RMS(short)
	if err != nil || length != 20 {
		t.Fatalf("RMS %g A over %g s, %v", rms, length, err)
	}
	near(t, "RMS", rms, math.Sqrt((300*300*4+50*50*16)/20.0), 1e-9)
	peak, ok := h.CyclePeak(short)
	steady, _ := h.Steady(rms)
	if !ok || math.Abs(peak-steady) > 2 {
		t.Errorf("peak of a short cycle %.1f C (%v), steady at RMS %.1f C", peak, ok, steady)
	}
	// A long one is hotter at the end of its peak.
	long := []Interval{{300, 120}, {50, 480}}
	peak, ok = h.CyclePeak(long)
	if steady, _ = h.Steady(rms); !ok || peak < steady+10 {
		t.Errorf("peak of a long cycle %.1f C (%v), steady at RMS %.1f C", peak, ok, steady)
	}
	if _, ok := h.CyclePeak([]Interval{{3000, 60}, {0, 60}}); ok {
		t.Error("3 kA for a minute stays in the range")
	}
	if _, ok := h.CyclePeak(nil); ok {
		t.Error("no cycle has a peak")
	}
	if _, _, err := RMS([]Interval{{1, -1}}); err == nil {
		t.Error("a negative time is taken")
	}
}

func BenchmarkNewHeating(b *testing.B) {
	c := Cable{Size: size(b, "35 mm2")}
	for b.Loop() {
		must[*Heating](b)(NewHeating(c, 40, 160))
	}
}

func BenchmarkHeatingTimeTo(b *testing.B) {
	h := must[*Heating](b)(NewHeating(Cable{Size: size(b, "35 mm2")}, 40, 160))
	for b.Loop() {
		h.TimeTo(400, 60, 150)
	}
}
