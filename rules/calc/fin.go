package calc

import (
	"fmt"
	"math"
)

// CopperConductivity is the thermal conductivity of copper near 100 C, W/mK.
// Source: heat transfer textbooks.
const CopperConductivity = 390.0

// Fin is the temperature along a short cable between two terminals.
type Fin struct {
	LengthM       float64 // 1/m: how far a terminal's temperature reaches
	FarC          float64 // temperature far from both ends; +Inf if there is none
	MiddleC       float64 // half-way
	HottestC      float64 // the highest anywhere, ends included
	HeatFromEndsW float64 // W that both terminals give to the cable; below 0: the cable heats them
}

// ShortCable is the temperature along a cable that is short against 2/m, whose
// ends are held at the temperatures of their terminals: the equation of a fin
// with a source, k A T” = (T - Ta)/Rth - I2 R(T), linear in T with Rth at the
// hottest point.
//
// With FarC for the temperature far from the ends and equal ends, the middle is
// FarC + (Tend - FarC)/cosh(m l/2). Source: heat transfer textbooks (fin with
// uniform generation). It errs if no temperature holds because the current is
// too great for the length.
func ShortCable(c Cable, lengthM, currentA, ambientC, end1C, end2C float64) (Fin, error) {
	h, err := c.heatFlow(ambientC)
	if err := firstError(err,
		positive(quantity{"length", lengthM, "m"}),
		notNegative(quantity{"current", currentA, "A"}),
		within(quantity{"terminal temperature", end1C, "C"}, coldestC, hottestC),
		within(quantity{"terminal temperature", end2C, "C"}, coldestC, hottestC),
	); err != nil {
		return Fin{}, err
	}
	// Rth falls as the cable warms, so it is taken where the cable is hottest;
	// the loop settles in a few rounds because Rth depends weakly on it.
	atC := max(end1C, end2C, ambientC+1)
	var f Fin
	for range 50 {
		f = h.fin(c.Size, lengthM, currentA, end1C, end2C, atC)
		next := min(max(f.HottestC, ambientC+1), hottestC)
		if math.Abs(next-atC) < 0.01 {
			break
		}
		atC = (atC + next) / 2
	}
	if f.HottestC > hottestC {
		return f, fmt.Errorf("%s of %g m at %g A: %w", c.Size.Label, lengthM, currentA, ErrNoEquilibrium)
	}
	return f, nil
}

// fin solves the linear equation with the heat flow of a conductor at atC.
func (h heatFlow) fin(s Size, lengthM, currentA, end1C, end2C, atC float64) Fin {
	perK := h.loss(atC) / (atC - h.ambientC) // W/mK to the air
	cold := currentA * currentA * s.R20
	stiffness := CopperConductivity * s.AreaMM2 * 1e-6 // W m/K along the copper
	net := perK - cold*CopperAlpha20                   // what is left after the growth of the losses
	if math.Abs(net) < 1e-6*perK {
		net = 1e-6 * perK // the far temperature of the exact balance is infinite
	}
	m := math.Sqrt(math.Abs(net) / stiffness)
	far := (perK*h.ambientC + cold*CopperFactor(0)) / net
	t1, t2, ml := end1C-far, end2C-far, m*lengthM
	f := Fin{LengthM: 1 / m, FarC: far}
	var level float64 // where the slope is zero, as m x
	at := func(mx float64) float64 { return far + (t1*math.Sinh(ml-mx)+t2*math.Sinh(mx))/math.Sinh(ml) }
	if net > 0 {
		f.HeatFromEndsW = stiffness * m * (t1 + t2) * math.Tanh(ml/2)
		level = math.Atanh((t1*math.Cosh(ml) - t2) / (t1 * math.Sinh(ml)))
	} else {
		// The losses grow faster than the cooling: only the ends hold the
		// temperature, and only over less than half a wave. The formal far
		// temperature then lies below any real one, so t1 and t2 are positive.
		f.FarC = math.Inf(1)
		if ml >= math.Pi {
			f.MiddleC, f.HottestC = math.Inf(1), math.Inf(1)
			return f
		}
		at = func(mx float64) float64 { return far + (t1*math.Sin(ml-mx)+t2*math.Sin(mx))/math.Sin(ml) }
		f.HeatFromEndsW = -stiffness * m * (t1 + t2) * math.Tan(ml/2)
		level = math.Atan((t2 - t1*math.Cos(ml)) / (t1 * math.Sin(ml)))
	}
	f.MiddleC = at(ml / 2)
	f.HottestC = max(end1C, end2C, f.MiddleC)
	if level > 0 && level < ml { // not below 0, where an end is hottest, nor NaN, where no slope is zero
		f.HottestC = max(f.HottestC, at(level))
	}
	return f
}
