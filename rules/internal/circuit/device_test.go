package circuit

import (
	"math"
	"testing"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// A bimetal goes by its integral, its latch does not: from where the integral would open it
// sooner than a mechanism can, the time stays level.
func TestBreakerWithoutMagnetEndsAtItsLatch(t *testing.T) {
	most := withLatch(&schema.Breaker{}, []schema.CurrentTime{{CurrentA: 10, S: 40}})
	// 10^2 40 = I^2 0.1: 200 A.
	if len(most) != 3 || math.Abs(most[1].CurrentA-200) > 1e-9 || most[1].S != calc.InstantClearsS || most[2].S != calc.InstantClearsS {
		t.Errorf("%v", most)
	}
	if at := timeAt(most, 5000); math.Abs(at-calc.InstantClearsS) > 1e-9 {
		t.Errorf("5000 A: %v s", at)
	}
	if stated := withLatch(&schema.Breaker{TotalI2t: schema.Some(3000)}, []schema.CurrentTime{{CurrentA: 10, S: 40}}); len(stated) != 1 {
		t.Errorf("an integral that its sheet states speaks for itself: %v", stated)
	}
}
