package calc

import (
	"errors"
	"math"
	"slices"
)

// Damage is the damage curve of a conductor: for each current how long it may
// flow.
//
// Up to 5 s it is the adiabatic I2t = k2 S2 from the starting temperature to
// the short-time limit of the insulation. Beyond, it is the time in which the
// conductor's own heating reaches the overload limit, but not less than 5 s.
// Source: IEC 60364-4-43, 434.5.2 and 433.1; heating as [Heating].
type Damage struct {
	heating   *Heating
	withstand float64 // k2 S2, A2s
	startC    float64
	overloadC float64
}

// NewDamage builds the damage curve of a conductor of an area in mm2 that
// starts at startC. The heating must reach up to overloadC. Source: as
// [Damage].
func NewDamage(heating *Heating, m Metal, areaMM2, startC, overloadC, shortTimeC float64) (*Damage, error) {
	k, err := KFactor(m, startC, shortTimeC)
	if err := firstError(err,
		positive(quantity{"conductor area", areaMM2, "mm2"}),
		within(quantity{"overload temperature limit", overloadC, "C"}, startC, math.Nextafter(heating.HottestC(), math.Inf(1))),
	); err != nil {
		return nil, err
	}
	return &Damage{heating: heating, withstand: WithstandI2t(areaMM2, k.Value).Value, startC: startC, overloadC: overloadC}, nil
}

// OverloadTemperature is the conductor temperature in C that the 1.45 rule
// accepts while a fuse takes its conventional time: ambient + 1.45 squared times
// the rise to the continuous limit, but not above the short-time limit, and
// whether that counts. Source: follows from I2 <= 1.45 I_z of IEC 60364-4-43,
// 433.1, with losses proportional to the square of the current.
func OverloadTemperature(continuousC, ambientC, shortTimeC float64) (l Line, capped bool) {
	accepted := ambientC + 1.45*1.45*max(0, continuousC-ambientC)
	if shortTimeC < accepted {
		return line(shortTimeC, "C", "min(T_f, T_a + 1.45^2 (T_c - T_a))", "min($3, $1 + 1.45^2 * ($2 - $1))",
			ambientC, continuousC, shortTimeC), true
	}
	return line(accepted, "C", "T_a + 1.45^2 (T_c - T_a)", "$1 + 1.45^2 * ($2 - $1)", ambientC, continuousC), false
}

// Time is how long in s a current may flow; +Inf for ever. Its lines are those of
// [Damage.Adiabatic], or of [Heating.TimeSteps] and [Damage.Least].
func (d *Damage) Time(currentA float64) float64 {
	if s := d.adiabaticS(currentA); s <= AdiabaticLimitS {
		return s
	}
	return max(AdiabaticLimitS, d.heating.TimeTo(currentA, d.startC, d.overloadC))
}

// adiabaticS is the time in s of a current without heat flow.
func (d *Damage) adiabaticS(currentA float64) float64 { return d.withstand / (currentA * currentA) }

// Adiabatic is how long in s a current may flow without heat flow, or false where
// that is longer than [AdiabaticLimitS].
func (d *Damage) Adiabatic(currentA float64) (l Line, ok bool) {
	s := d.adiabaticS(currentA)
	return line(s, "s", "k2S2 / I^2", "$1 / $2^2", d.withstand, currentA), s <= AdiabaticLimitS
}

// Least is how long in s the conductor bears a current that heats it in a time
// shorter than [AdiabaticLimitS], by [Heating], for which it has no need of heat
// flow.
func (d *Damage) Least(heatsS float64) Line {
	return line(max(AdiabaticLimitS, heatsS), "s", "max(5 s, t_bear)", "max(5, $1)", heatsS)
}

// Heating is the heating that the curve rests on beyond 5 s.
func (d *Damage) Heating() *Heating { return d.heating }

// StartC and OverloadC are the temperatures in C between which it heats there.
func (d *Damage) StartC() float64 { return d.startC }

// OverloadC is the end of that heating; see [Damage.StartC].
func (d *Damage) OverloadC() float64 { return d.overloadC }

// WithstandI2t is the energy in A2s that the conductor bears without heat flow.
func (d *Damage) WithstandI2t() float64 { return d.withstand }

// Worst is where a fuse protects a conductor least.
type Worst struct {
	CurrentA   float64
	FuseS      float64 // time by which the fuse has opened
	ConductorS float64 // time that the conductor bears
	Margin     float64 // ConductorS over FuseS; below 1 the conductor is hurt first
}

// WorstMargin compares a fuse with a conductor at every current from loA to
// hiA, both included, and returns where the margin is smallest. conductorS is the time that
// the conductor bears, which must not rise with the current; [Damage.Time] is
// one. Where the fuse need not open and the conductor does not bear the current
// for ever the margin is 0, and the current returned is the one that hurts it
// soonest. For gG over its own overload range see [OverloadLimitA]: start the
// comparison at [Curve.MustOpenA].
func WorstMargin(fuse *Curve, conductorS func(currentA float64) float64, loA, hiA float64) (Worst, error) {
	if fuse == nil || conductorS == nil {
		return Worst{}, errors.New("comparing a fuse with a conductor needs both curves")
	}
	if err := positive(quantity{"lowest current", loA, "A"}); err != nil {
		return Worst{}, err
	}
	if err := within(quantity{"highest current", hiA, "A"}, loA, math.MaxFloat64); err != nil {
		return Worst{}, err
	}
	at := func(currentA float64) Worst { return compared(fuse, conductorS, currentA) }
	worst := at(hiA)
	best := func(w Worst) {
		if w.before(worst) {
			worst = w
		}
	}
	grid := sweep(loA, hiA, fuse.breakpoints())
	at0 := 0
	for i, currentA := range grid {
		before := worst
		if best(at(currentA)); worst != before {
			at0 = i
		}
	}
	// Refine between the neighbours of the worst grid point by golden section.
	lo, hi := grid[max(at0-1, 0)], grid[min(at0+1, len(grid)-1)]
	const ratio = 0.6180339887498949
	inner := func(outer, other float64) float64 { return outer + (1-ratio)*(other-outer) }
	w1, w2 := at(inner(lo, hi)), at(inner(hi, lo))
	for range 24 {
		best(w1)
		best(w2)
		if w1.Margin <= w2.Margin {
			hi, w2 = w2.CurrentA, w1
			w1 = at(inner(lo, hi))
		} else {
			lo, w1 = w1.CurrentA, w2
			w2 = at(inner(hi, lo))
		}
	}
	return worst, nil
}

// compared holds a fuse against a conductor at a current in A.
func compared(fuse *Curve, conductorS func(currentA float64) float64, currentA float64) Worst {
	w := Worst{CurrentA: currentA, FuseS: fuse.MaxTime(currentA), ConductorS: conductorS(currentA)}
	switch {
	case math.IsInf(w.ConductorS, 1):
		w.Margin = math.Inf(1)
	default:
		w.Margin = w.ConductorS / w.FuseS // 0 where the fuse need not open
	}
	return w
}

// before reports whether it is worse than another.
func (w Worst) before(other Worst) bool {
	return w.Margin < other.Margin || w.Margin == other.Margin && w.ConductorS < other.ConductorS
}

// sweepPoints is the number of currents at which two curves are compared before
// the worst is refined.
const sweepPoints = 64

// sweep lists currents from lo to hi in even ratios, and both sides of every
// breakpoint within, in rising order.
func sweep(lo, hi float64, breakpoints []float64) []float64 {
	list := make([]float64, 0, sweepPoints+2*len(breakpoints)+1)
	for i := range sweepPoints + 1 {
		list = append(list, sweepPoint(lo, hi, i))
	}
	list[sweepPoints] = hi
	for _, b := range breakpoints {
		for _, x := range []float64{math.Nextafter(b, 0), b} {
			if x >= lo && x <= hi {
				list = append(list, x)
			}
		}
	}
	slices.Sort(list)
	return list
}

// sweepPoint is one of the currents in even ratios.
func sweepPoint(lo, hi float64, i int) float64 {
	return lo * math.Pow(hi/lo, float64(i)/sweepPoints)
}
