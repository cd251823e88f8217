package calc

import (
	"fmt"
	"math"
)

// CopperConductivity is the thermal conductivity of copper near 100 C, W/mK.
// Source: heat transfer textbooks.
const CopperConductivity = 390.0

// AluminiumConductivity is that of aluminium for conductors. Source: heat
// transfer textbooks.
const AluminiumConductivity = 220.0

// Fin is the temperature along a short cable or bar between two terminals.
type Fin struct {
	LengthM       float64 // 1/m: how far a terminal's temperature reaches
	FarC          float64 // temperature far from both ends; +Inf if there is none
	MiddleC       float64 // half-way
	HottestC      float64 // the highest anywhere, ends included
	HeatFromEndsW float64 // W that both terminals give to the cable; below 0: the cable heats them
	CoolingWmK    float64 // W/mK to the air, at the hottest point

	of       finned
	metreM   float64 // length
	currentA float64
	endC     [2]float64
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
	if err != nil {
		return Fin{}, err
	}
	return short(finned{
		name: c.Size.Label, metal: "copper", ambientC: ambientC, r20: c.Size.R20, alpha: CopperAlpha20,
		conductivity: CopperConductivity, areaMM2: c.Size.AreaMM2, loss: h.loss,
	}, lengthM, currentA, end1C, end2C)
}

// ShortBar is the same for a bar. Source: as [ShortCable], with the heat that
// goes to the air by [BarAmpacity].
func ShortBar(b Bar, lengthM, currentA, ambientC, end1C, end2C float64) (Fin, error) {
	if _, err := BarAmpacity(b, ambientC, ambientC); err != nil {
		return Fin{}, err
	}
	alpha, conductivity := b.Metal.alpha20(), CopperConductivity
	if b.Metal.Name != "copper" {
		conductivity = AluminiumConductivity
	}
	return short(finned{
		name: fmt.Sprintf("bar of %g x %g mm", b.WidthMM, b.ThicknessMM), metal: b.Metal.Name, ambientC: ambientC, r20: b.r20(), alpha: alpha,
		conductivity: conductivity, areaMM2: b.AreaMM2(), loss: func(barC float64) float64 { return b.loss(barC, ambientC) },
	}, lengthM, currentA, end1C, end2C)
}

// Steps are how the temperature along the conductor comes about, its ends held at
// the limits of their terminals.
func (f Fin) Steps() []Step {
	c, cooling := f.of, 1000*f.CoolingWmK
	heat := f.currentA * f.currentA * c.r20
	net := f.CoolingWmK - heat*c.alpha
	far := (f.CoolingWmK*c.ambientC + heat*(1-20*c.alpha)) / net
	steps := []Step{
		{"g", "heat lost to the air per K at the hottest point, by the heat balance of I_z", line(cooling, "mW/(m K)", "", "$1", cooling)},
		{"q", "heat of the current at 20 C", line(heat, "W/m", "I^2 R'_20", "$1^2 * $2/1000", f.currentA, 1000*c.r20)},
		{"k", "thermal conductivity of " + c.metal, standard(c.conductivity, "W/(m K)", "heat transfer textbooks")},
		{"1/m", "how far the temperature of a terminal reaches", line(f.LengthM, "m", "sqrt(k A / |g - q alpha|)", "sqrt($1 * $2/1000000 / $3)",
			c.conductivity, c.areaMM2, max(net, -net))},
		{"T_far", "balance temperature far from the ends", line(far, "C", "(g T_a + q (1 - 20 alpha)) / (g - q alpha)", "($1 * $2 + $3 * (1 - 20 * $4)) / $5",
			f.CoolingWmK, c.ambientC, heat, c.alpha, net)},
	}
	if f.endC[0] != f.endC[1] {
		return append(steps, Step{"T_hot", "hottest point between ends at " + Term(f.endC[0]) + " and " + Term(f.endC[1]) + " C, the limits of their terminals",
			line(f.HottestC, "C", "greatest over x of T_far + ((T_1 - T_far) sinh(m (l - x)) + (T_2 - T_far) sinh(m x)) / sinh(m l)", "")})
	}
	shape := "cosh"
	if net < 0 {
		shape = "cos" // the heat of the current grows faster than the air takes it
	}
	return append(steps, Step{"T_mid", "temperature half-way, both ends at the limit of their terminals",
		line(f.MiddleC, "C", "T_far + (T_term - T_far) / "+shape+"(m l / 2)", "$1 + ($2 - $1) / "+shape+"($3 / $4 / 2)",
			far, f.endC[0], f.metreM, f.LengthM)})
}

// loss is the heat in W/m that leaves a bar of a temperature; [BarAmpacity] was
// asked before whether the bar is one.
func (b Bar) loss(barC, ambientC float64) float64 {
	amps, _ := BarAmpacity(b, barC, ambientC)
	return amps * amps * b.r20() * (1 + b.Metal.alpha20()*(barC-20))
}

// finned is a conductor whose ends carry heat.
type finned struct {
	name, metal  string
	ambientC     float64
	r20, alpha   float64 // Ohm/m at 20 C and its growth per K
	conductivity float64 // thermal, W/(m K)
	areaMM2      float64
	loss         func(tempC float64) float64 // W/m to the air
}

// stiffness is how well the metal carries heat along, in W m/K.
func (c finned) stiffness() float64 { return c.conductivity * c.areaMM2 * 1e-6 }

func short(c finned, lengthM, currentA, end1C, end2C float64) (Fin, error) {
	if err := firstError(
		positive(quantity{"length", lengthM, "m"}),
		notNegative(quantity{"current", currentA, "A"}),
		within(quantity{"terminal temperature", end1C, "C"}, coldestC, hottestC),
		within(quantity{"terminal temperature", end2C, "C"}, coldestC, hottestC),
	); err != nil {
		return Fin{}, err
	}
	// Rth falls as the conductor warms, so it is taken where that is hottest;
	// the loop settles in a few rounds because Rth depends weakly on it.
	atC := max(end1C, end2C, c.ambientC+1)
	var f Fin
	for range 50 {
		f = c.between(lengthM, currentA, end1C, end2C, atC)
		next := min(max(f.HottestC, c.ambientC+1), hottestC)
		if math.Abs(next-atC) < 0.01 {
			break
		}
		atC = (atC + next) / 2
	}
	if f.HottestC > hottestC {
		return f, fmt.Errorf("%s of %g m at %g A: %w", c.name, lengthM, currentA, ErrNoEquilibrium)
	}
	return f, nil
}

// between solves the linear equation with the heat flow of a conductor at atC.
func (c finned) between(lengthM, currentA, end1C, end2C, atC float64) Fin {
	perK := c.loss(atC) / (atC - c.ambientC) // W/mK to the air
	cold := currentA * currentA * c.r20
	net := perK - cold*c.alpha // what is left after the growth of the losses
	if math.Abs(net) < 1e-6*perK {
		net = 1e-6 * perK // the far temperature of the exact balance is infinite
	}
	m := math.Sqrt(math.Abs(net) / c.stiffness())
	far := (perK*c.ambientC + cold*(1-20*c.alpha)) / net
	t1, t2, ml := end1C-far, end2C-far, m*lengthM
	f := Fin{LengthM: 1 / m, FarC: far, CoolingWmK: perK, of: c, metreM: lengthM, currentA: currentA, endC: [2]float64{end1C, end2C}}
	var level float64 // where the slope is zero, as m x
	at := func(mx float64) float64 { return far + (t1*math.Sinh(ml-mx)+t2*math.Sinh(mx))/math.Sinh(ml) }
	if net > 0 {
		f.HeatFromEndsW = c.stiffness() * m * (t1 + t2) * math.Tanh(ml/2)
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
		f.HeatFromEndsW = -c.stiffness() * m * (t1 + t2) * math.Tan(ml/2)
		level = math.Atan((t2 - t1*math.Cos(ml)) / (t1 * math.Sin(ml)))
	}
	f.MiddleC = at(ml / 2)
	f.HottestC = max(end1C, end2C, f.MiddleC)
	if level > 0 && level < ml { // not below 0, where an end is hottest, nor NaN, where no slope is zero
		f.HottestC = max(f.HottestC, at(level))
	}
	return f
}
