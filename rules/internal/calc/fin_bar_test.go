package calc

import (
	"math"
	"testing"
)

// A bar so short that the air takes nothing to speak of has a parabola of
// temperature, q l2/(8 k A) above its ends: heat transfer textbooks (plane wall
// with uniform generation).
func TestShortBarIsAParabola(t *testing.T) {
	for _, b := range []Bar{{WidthMM: 20, ThicknessMM: 5, Metal: Copper()}, {WidthMM: 20, ThicknessMM: 5, Metal: Aluminium()}} {
		conductivity := map[string]float64{"copper": CopperConductivity, "aluminium": AluminiumConductivity}[b.Metal.Name]
		const lengthM, currentA, endC = 0.02, 3000, 60
		f, err := ShortBar(b, lengthM, currentA, 55, endC, endC)
		if err != nil {
			t.Fatal(err)
		}
		ohm, _ := BarResistance(b, 1, f.MiddleC) // the bar is sound
		rise := currentA * currentA * ohm * lengthM * lengthM / (8 * conductivity * b.AreaMM2() * 1e-6)
		near(t, b.Metal.Name, f.MiddleC-endC, rise, 3)
		near(t, "heat into the ends", -f.HeatFromEndsW, currentA*currentA*ohm*lengthM, 3)
	}
}

// Far from its ends a long bar has the temperature of one without ends.
func TestLongBarHasNoEnds(t *testing.T) {
	b := Bar{WidthMM: 30, ThicknessMM: 5, Metal: Copper()}
	want, ok := must[*Heating](t)(NewBarHeating(b, 40, 200)).Steady(350)
	if !ok {
		t.Fatal("no steady temperature")
	}
	f, err := ShortBar(b, 5, 350, 40, want, want)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "middle", f.MiddleC, want, 0.1)
	if cool, err := ShortBar(b, 0.05, 350, 40, 45, 45); err != nil || cool.HottestC > want-20 {
		t.Errorf("a short bar between cool ends: %v C, %v", cool.HottestC, err)
	}
	if f, err := ShortBar(b, 0.3, 5000, 40, 90, 90); err == nil || !math.IsInf(f.HottestC, 1) && f.HottestC < 400 {
		t.Errorf("5 kA: %v, %v", f, err)
	}
	if _, err := ShortBar(Bar{Metal: Copper()}, 0.3, 50, 40, 90, 90); err == nil {
		t.Error("no bar, no error")
	}
}
