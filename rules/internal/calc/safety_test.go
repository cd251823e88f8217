package calc

import (
	"math"
	"testing"
)

func TestVoltageClass(t *testing.T) {
	// ISO 6469-3: class A up to and with 60 V DC.
	for _, tc := range []struct {
		v    float64
		want string
	}{{58.4, "A"}, {60, "A"}, {math.Nextafter(60, 61), "B"}, {62.05, "B"}, {109.5, "B"}} {
		if got := VoltageClass(tc.v); got != tc.want {
			t.Errorf("%g V is class %s, want %s", tc.v, got, tc.want)
		}
	}
}

func TestFuseDistances(t *testing.T) {
	// 33 CFR 183.455: 7 and 40 in; ABYC E-11: 72 in, only sheathed and on the
	// battery's terminal.
	for _, tc := range []struct {
		sheathed, atBattery bool
		inches              float64
	}{{false, false, 7}, {true, false, 40}, {true, true, 72}, {false, true, 7}} {
		near(t, "distance", FuseDistanceLimitM(tc.sheathed, tc.atBattery), 0.0254*tc.inches, 1e-9)
	}
}
