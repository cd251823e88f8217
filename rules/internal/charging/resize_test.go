package charging_test

import (
	"math"
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/ruletest"
)

// Ratings worked out by hand: a resistor as a store of heat with the time constant of
// its pulse rating over its continuous rating, three attempts in a minute.
func TestRatings(t *testing.T) {
	with(t, ruletest.Load(t, filepath.Join(ruletest.Fleet(), "heron")), func(p *rules.Pass) {
		near := func(what string, got, want float64) {
			t.Helper()
			if math.Abs(got-want) > 1e-3*want {
				t.Errorf("%s: %v, want %v", what, got, want)
			}
		}
		// 200 J at 10 W are 20 s: after 3 s of 71.8 W the resistor holds 71.8 W x 20 s x
		// (1 - exp(-3/20)) = 200 J.
		near("pulse rating for a short", charging.ShortPulseJ(200/(20*-math.Expm1(-3./20)), 10, 3), 200)
		near("continuous rating for a short", charging.ShortPower(200/(20*-math.Expm1(-3./20)), 200, 3), 10)
		// Of 10 J each 20 s, with q = exp(-20 s / 20 s) left: 10 (1 + 1/e + 1/e^2) = 15.03 J
		// are a pulse rating of 15.03 J at 0.7516 W.
		const pulse = 15.032147
		near("pulse rating for three attempts", charging.PulseFor(p, 10, pulse/20), pulse)
		near("continuous rating for three attempts", charging.PowerFor(p, 10, pulse), pulse/20)
		// Cold again by the next attempt: one pulse.
		near("pulse rating of a large resistor", charging.PulseFor(p, 10, 100), 10)
	})
}

func TestStep(t *testing.T) {
	for v, want := range map[float64]float64{58.4: 1, 584: 10, 5.84: 0.1, 0.0584: 0.001, 10: 1} {
		if got := charging.Step(v); math.Abs(got-want) > 1e-12 {
			t.Errorf("step of %v: %v, want %v", v, got, want)
		}
	}
}
