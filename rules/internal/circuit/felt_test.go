package circuit

import "testing"

// What the leak of 1 nS across an open contact and the rounding of the equations
// amount to at a hundred volts is nothing; a microampere more is something.
func TestFelt(t *testing.T) {
	for x, want := range map[float64]float64{0: 0, 100 * leak: 0, -100 * leak: 0, 5.7e-15: 0, 2e-6: 2e-6, -2e-6: -2e-6, 250: 250} {
		if got := felt(x); got != want {
			t.Errorf("felt(%g) = %g, want %g", x, got, want)
		}
	}
}
