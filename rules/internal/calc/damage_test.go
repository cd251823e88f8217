package calc

import (
	"fmt"
	"math"
	"testing"
)

// overloadC is the temperature that the 1.45 rule accepts.
func overloadC(t testing.TB, continuousC, ambientC, shortTimeC float64) float64 {
	t.Helper()
	l, _ := OverloadTemperature(continuousC, ambientC, shortTimeC)
	return follow(t, l)
}

// damage builds the damage curve of a cable that starts at its 90 C limit.
func damage(t testing.TB, label string) *Damage {
	t.Helper()
	s := size(t, label)
	overload := overloadC(t, 90, 30, 250)
	h := must[*Heating](t)(NewHeating(Cable{Size: s}, 30, overload))
	return must[*Damage](t)(NewDamage(h, Copper(), s.AreaMM2, 90, overload, 250))
}

func TestDamageTime(t *testing.T) {
	d := damage(t, "35 mm2")
	near(t, "overload temperature", overloadC(t, 90, 30, 250), 30+1.45*1.45*60, 1e-9)
	near(t, "overload temperature of an insulation that softens", overloadC(t, 90, 30, 150), 150, 1e-9)
	// IEC 60364-4-43, 434.5.2 up to 5 s.
	k := followed(t)(KFactor(Copper(), 90, 250))
	for _, a := range []float64{3000, 5000, 20000} {
		adiabatic, ok := d.Adiabatic(a)
		if !ok || follow(t, adiabatic) != d.Time(a) {
			t.Errorf("%g A: %v s without heat flow, %v s in all", a, adiabatic.Value, d.Time(a))
		}
		near(t, fmt.Sprintf("%g A", a), d.Time(a), follow(t, WithstandI2t(35, k))/(a*a), 1e-9)
	}
	near(t, "withstand", d.WithstandI2t(), follow(t, WithstandI2t(35, k)), 1e-9)
	// In between it neither rises nor falls below 5 s, and the 1.45 rule's
	// current is about what is borne for ever.
	before := math.Inf(1)
	for a := 100.0; a < 3000; a *= 1.01 {
		s := d.Time(a)
		if s > before || s < 5 && a*a*5 < d.WithstandI2t() {
			t.Errorf("at %g A %g s, after %g s", a, s, before)
		}
		before = s
	}
	iz := must[float64](t)(FreeAirAmpacity(Cable{Size: size(t, "35 mm2")}, 90, 30))
	if s := d.Time(1.3 * iz); !math.IsInf(s, 1) {
		t.Errorf("1.3 I_z is borne for %g s, want for ever", s)
	}
	if s := d.Time(1.6 * iz); s > 3600 {
		t.Errorf("1.6 I_z is borne for %g s, want less than an hour", s)
	}
}

func TestDamageErrors(t *testing.T) {
	h := must[*Heating](t)(NewHeating(Cable{Size: size(t, "35 mm2")}, 30, 150))
	for name, f := range map[string]func() (*Damage, error){
		"start above short-time limit": func() (*Damage, error) { return NewDamage(h, Copper(), 35, 160, 150, 150) },
		"overload below start":         func() (*Damage, error) { return NewDamage(h, Copper(), 35, 90, 80, 250) },
		"overload beyond the heating":  func() (*Damage, error) { return NewDamage(h, Copper(), 35, 90, 151, 250) },
		"no area":                      func() (*Damage, error) { return NewDamage(h, Copper(), 0, 90, 150, 250) },
	} {
		if d, err := f(); err == nil {
			t.Errorf("%s: %+v, want an error", name, d)
		}
	}
	if _, err := NewDamage(h, Copper(), 35, 90, 150, 250); err != nil {
		t.Errorf("an overload limit at the end of the heating: %v", err)
	}
}

// scanned is the worst margin by brute force.
func scanned(fuse *Curve, d *Damage, lo, hi float64) float64 {
	worst := math.Inf(1)
	for i := range 200001 {
		a := lo * math.Pow(hi/lo, float64(i)/200000)
		if s := d.Time(a); !math.IsInf(s, 1) {
			worst = math.Min(worst, s/fuse.MaxTime(a))
		}
	}
	return worst
}

func TestWorstMarginAgainstScan(t *testing.T) {
	for _, tc := range []struct {
		class  FuseClass
		rated  float64
		label  string
		lo, hi float64
	}{
		{ClassBoltDown, 200, "70 mm2", 200, 8000},
		{ClassBoltDown, 125, "25 mm2", 170, 5000},
		{ClassHighCurrent, 60, "10 mm2", 81, 3000},
		{ClassBlade, 15, "1.5 mm2", 20.25, 800},
		{ClassGG, 100, "35 mm2", 160, 6000},
		{ClassBoltDown, 200, "70 mm2", 400, 400},
	} {
		fuse, d := curve(t, CurveSpec{Class: tc.class, RatedA: tc.rated}), damage(t, tc.label)
		got := must[Worst](t)(WorstMargin(fuse, d.Time, tc.lo, tc.hi))
		want := scanned(fuse, d, tc.lo, tc.hi)
		if !(got.Margin <= want*(1+1e-9)) || got.Margin < want*0.999 {
			t.Errorf("%s %g A on %s: %+v, scan %g", tc.class, tc.rated, tc.label, got, want)
		}
		if !math.IsInf(got.Margin, 1) {
			near(t, "margin", got.Margin, got.ConductorS/got.FuseS, 1e-9)
		}
	}
}

func TestWorstMarginOfAnUnprotectedRange(t *testing.T) {
	// A 250 A fuse on 25 mm2: just below 337.5 A it may carry for ever, which
	// hurts the cable; that current is named, with the time left.
	fuse, d := curve(t, CurveSpec{Class: ClassBoltDown, RatedA: 250}), damage(t, "25 mm2")
	got := must[Worst](t)(WorstMargin(fuse, d.Time, 100, 5000))
	if got.Margin != 0 || !math.IsInf(got.FuseS, 1) || math.Abs(got.CurrentA-337.5) > 0.01 || got.ConductorS <= 0 {
		t.Errorf("%+v, want margin 0 just below 337.5 A", got)
	}
	// Where the conductor bears every current for ever nothing limits it.
	got = must[Worst](t)(WorstMargin(fuse, d.Time, 10, 50))
	if !math.IsInf(got.Margin, 1) {
		t.Errorf("%+v, want an infinite margin", got)
	}
}

func TestWorstMarginErrors(t *testing.T) {
	fuse, d := curve(t, CurveSpec{Class: ClassBoltDown, RatedA: 250}), damage(t, "25 mm2")
	for _, tc := range [][2]float64{{0, 100}, {-1, 100}, {200, 100}, {math.NaN(), 100}, {100, math.Inf(1)}} {
		if w, err := WorstMargin(fuse, d.Time, tc[0], tc[1]); err == nil {
			t.Errorf("from %g to %g A: %+v, want an error", tc[0], tc[1], w)
		}
	}
	if _, err := WorstMargin(nil, d.Time, 1, 2); err == nil {
		t.Error("no fuse has a margin")
	}
	if _, err := WorstMargin(fuse, nil, 1, 2); err == nil {
		t.Error("no conductor has a margin")
	}
}

func BenchmarkWorstMargin(b *testing.B) {
	fuse, d := curve(b, CurveSpec{Class: ClassBoltDown, RatedA: 200}), damage(b, "70 mm2")
	for b.Loop() {
		must[Worst](b)(WorstMargin(fuse, d.Time, 200, 8000))
	}
}
