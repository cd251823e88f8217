package capacity_test

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
)

// The hottest air, or that of a mode, and a rise of 15 K in the bay.
func TestAir(t *testing.T) {
	with(t, func(p *rules.Pass, c *rules.Check) {
		for _, want := range []struct {
			id, mode string
			c        float64
			steps    int
		}{
			{"link", "", 40, 1},
			{"link", "cool", 30, 1},
			{"out", "", 55, 3},
			{"out", "cool", 45, 3},
		} {
			at := capacity.AirAt(p, &p.Spec.Wires[want.id].Base, p.Spec.Modes[want.mode])
			before := len(c.Steps())
			near(t, "air shown at "+want.id, at.Explain(c.Working), want.c, 0)
			near(t, "air at "+want.id, at.C(), want.c, 0)
			steps := c.Steps()[before:]
			if last := steps[len(steps)-1]; len(steps) != want.steps || last.Symbol != "T_a" {
				t.Errorf("%s in mode %q: %d steps that end in %s", want.id, want.mode, len(steps), last.Symbol)
			}
		}
	})
}
