package calc

import (
	"math"
	"testing"
)

// WF44 of the worked examples: a bar of 25 x 3 mm.
func TestNetSection(t *testing.T) {
	bar := Bar{WidthMM: 25, ThicknessMM: 3, Metal: Copper()}
	for hole, net := range map[float64]float64{9: 48, 11: 42, 13.5: 34.5} {
		l, err := bar.NetSection(hole)
		if got := followed(t)(l, err); math.Abs(got-net) > 1e-9 {
			t.Errorf("%v mm: %v mm2, want %v", hole, got, net)
		}
	}
	if _, err := bar.NetSection(26); err == nil {
		t.Error("a hole wider than the bar")
	}
}

func TestBoltHole(t *testing.T) {
	for thread, want := range map[float64]float64{6: 6.5, 8: 8.5, 10: 10.5, 12: 13, 16: 17} {
		if got, _ := BoltHoleMM(thread, 0.5); got != want {
			t.Errorf("M%v: %v mm, want %v", thread, got, want)
		}
		if flats := BearingMM(thread); flats < 1.4*thread || flats > 1.7*thread {
			t.Errorf("M%v: a nut of %v mm", thread, flats)
		}
	}
}
