package calc

import (
	"math"
	"testing"
)

// Worked by hand: 100 W in a part of 50 s leave 100 * 50 (1 - 1/e) = 3160.6 J after
// 50 s. Three pulses in a minute are 20 s apart, which leaves exp(-20/50) = 0.67032;
// of 10 J each 10 (1 + 0.67032 + 0.44933) = 21.196 J are there after the third.
func TestPulseHeat(t *testing.T) {
	near(t, "one time constant", follow(t, PulseHeat(100, 50, 50)), 5000*(1-1/math.E), 1e-9)
	near(t, "a moment", follow(t, PulseHeat(100, 50, 0.01)), 1, 0.1)
	q := follow(t, HeatKept(3, 50))
	near(t, "kept", q, 0.67032, 1e-3)
	near(t, "three pulses", follow(t, RepeatedHeat(10, q, 3)), 21.1965, 1e-3)
	near(t, "one pulse", follow(t, RepeatedHeat(10, follow(t, HeatKept(1, 50)), 1)), 10, 1e-9)
	near(t, "all is kept", follow(t, RepeatedHeat(10, 1, 4)), 40, 1e-9)
}
