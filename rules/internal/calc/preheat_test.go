package calc

import (
	"math"
	"testing"
)

// IEC 60255-149: twice the current that is held, cold, ln(4/3) tau; from the heat
// of half of it, ln((4 - 0.25)/3) tau.
func TestPreheatedShare(t *testing.T) {
	for _, tt := range []struct {
		name              string
		current, prior, h float64
		want              float64
	}{
		{"cold", 200, 0, 100, 1},
		{"half", 200, 50, 100, math.Log(3.75/3) / math.Log(4.0/3)},
		{"as hot as may be", 200, 100, 100, 0},
		{"hotter", 200, 150, 100, 0},
		{"below what it holds", 100, 80, 100, 1},
		{"a short circuit", 1e6, 50, 100, 0.75},
	} {
		got, err := PreheatedShare(tt.current, tt.prior, tt.h)
		if err != nil {
			t.Fatal(err)
		}
		if tt.prior < tt.h && tt.h < tt.current {
			follow(t, got) // beyond these the limits hold
		}
		near(t, tt.name, got.Value, tt.want, 0.01)
	}
	if _, err := PreheatedShare(1, 1, 0); err == nil {
		t.Error("a fuse that holds nothing: no error")
	}
}

func TestOpeningTimeConstant(t *testing.T) {
	tau, ok := OpeningTimeConstant(200, 100, 10)
	if !ok {
		t.Fatal("no time constant")
	}
	// The replica with that time constant opens it after the same time.
	near(t, "opening time", replicaTime(200, 0, 100, tau.Value), 10, 1e-6)
	for _, bad := range [][3]float64{{100, 100, 10}, {200, 100, 0}, {200, 100, math.Inf(1)}} {
		if _, ok := OpeningTimeConstant(bad[0], bad[1], bad[2]); ok {
			t.Errorf("%v has a time constant", bad)
		}
	}
}
