package calc

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Point is one point of a time-current curve.
type Point struct {
	CurrentA float64
	S        float64
}

// CurveSpec is what is known of a fuse's time-current band.
type CurveSpec struct {
	Class  FuseClass
	RatedA float64
	// Min and Max are declared points: the fuse never opens before Min and has
	// always opened by Max. An empty list takes the gate of the class.
	Min, Max []Point
	// MeltingI2t and TotalI2t are declared in A2s; 0 where they are not.
	MeltingI2t, TotalI2t float64
}

// Curve is a fuse's time-current band. It does not change and may be shared.
//
// Between points it is straight on log-log paper, as such curves are printed.
// Outside them it says only what is sure: see [Curve.MinTime] and
// [Curve.MaxTime]. Source: ISO 8820-1, IEC 60269-1 (gates and time-current
// characteristics).
type Curve struct {
	ratedA     float64
	nonFusingA float64
	min, max   []Point
	melting    float64
	total      float64
	minSource  string
	maxSource  string
}

// ErrNoCurve says that neither points nor a gate give a fuse's band.
var ErrNoCurve = errors.New("no time-current points are declared and the class has no published gate")

// declared is the source of points that a specification gives.
const declared = "declared"

// slowestMaxS is the shortest time in s that is claimed for certain opening:
// below it arcing, which no melting curve shows, decides.
const slowestMaxS = 0.001

// adiabaticMeltingS is the longest time in s for which a total I2t stands on
// its own: over longer times a fuse loses heat and needs more.
const adiabaticMeltingS = 0.01

// NewCurve builds the band of a fuse. It errs on points that contradict each
// other, and with [ErrNoCurve] where nothing is known.
func NewCurve(spec CurveSpec) (*Curve, error) {
	if err := firstError(
		positive(quantity{"rated current", spec.RatedA, "A"}),
		notNegative(quantity{"melting I2t", spec.MeltingI2t, "A2s"}, quantity{"total I2t", spec.TotalI2t, "A2s"}),
		checkPoints("min", spec.Min), checkPoints("max", spec.Max),
	); err != nil {
		return nil, err
	}
	if spec.TotalI2t > 0 && spec.MeltingI2t > spec.TotalI2t {
		return nil, quantity{"melting I2t", spec.MeltingI2t, "A2s"}.fault(fmt.Sprintf("must not exceed the total I2t of %g A2s", spec.TotalI2t))
	}
	g, known := classGate(spec.Class, spec.RatedA)
	if !known && len(spec.Min) == 0 && len(spec.Max) == 0 && spec.MeltingI2t == 0 && spec.TotalI2t == 0 {
		return nil, ErrNoCurve
	}
	c := &Curve{
		ratedA: spec.RatedA, nonFusingA: spec.RatedA,
		melting: spec.MeltingI2t, total: spec.TotalI2t,
		min: slices.Clone(spec.Min), max: slices.Clone(spec.Max), minSource: declared, maxSource: declared,
	}
	if known {
		c.nonFusingA = g.nonFusing * spec.RatedA
	}
	if len(spec.Min) == 0 {
		c.min, c.minSource = g.side(g.min, spec.RatedA)
	}
	if len(spec.Max) == 0 {
		c.max, c.maxSource = g.side(g.max, spec.RatedA)
	}
	// A link that must open at a current does not carry it for ever.
	if len(c.max) > 0 {
		c.nonFusingA = min(c.nonFusingA, math.Nextafter(c.max[0].CurrentA, 0))
	}
	if err := c.checkBand(); err != nil {
		return nil, err
	}
	return c, nil
}

// side returns one side of a gate in amperes, with its source.
func (g gate) side(points []Point, ratedA float64) ([]Point, string) {
	if len(points) == 0 {
		return nil, ""
	}
	out := make([]Point, len(points))
	for i, p := range points {
		out[i] = Point{p.CurrentA * ratedA, p.S}
	}
	return out, g.source
}

// checkPoints wants currents that rise and times that fall.
func checkPoints(name string, points []Point) error {
	for i, p := range points {
		current := quantity{fmt.Sprintf("current of %s point %d", name, i+1), p.CurrentA, "A"}
		time := quantity{fmt.Sprintf("time of %s point %d", name, i+1), p.S, "s"}
		if err := positive(current, time); err != nil {
			return err
		}
		if i == 0 {
			continue
		}
		if p.CurrentA <= points[i-1].CurrentA {
			return current.fault(fmt.Sprintf("must be above the %g A of the point before it", points[i-1].CurrentA))
		}
		if p.S > points[i-1].S {
			return time.fault(fmt.Sprintf("must not be above the %g s of the point before it: more current opens a fuse sooner", points[i-1].S))
		}
	}
	return nil
}

// checkBand wants the least times below the greatest at the points of both.
func (c *Curve) checkBand() error {
	for _, p := range append(append([]Point(nil), c.min...), c.max...) {
		if lo, hi := c.MinTime(p.CurrentA), c.MaxTime(p.CurrentA); lo > hi*(1+1e-9) {
			return quantity{fmt.Sprintf("shortest opening time at %g A", p.CurrentA), lo, "s"}.fault(
				fmt.Sprintf("must not exceed the longest of %.3g s (min: %s; max: %s)", hi, c.minSource, c.maxSource))
		}
	}
	return nil
}

// MinSource and MaxSource say where the two sides of the band come from:
// "declared", a standard, or "" where a side is not known.
func (c *Curve) MinSource() string { return c.minSource }

// MaxSource is the source of the greatest times; see [Curve.MinSource].
func (c *Curve) MaxSource() string { return c.maxSource }

// NonFusingA is the current in A that the fuse carries without ever opening.
func (c *Curve) NonFusingA() float64 { return c.nonFusingA }

// MaxEnd is the last point of the greatest times, in A and s, or false where no
// point is known. Beyond it constant I2t is a bound: far above what the fuse
// really lets pass if the point lies at many seconds.
func (c *Curve) MaxEnd() (Point, bool) {
	if n := len(c.max); n > 0 {
		return c.max[n-1], true
	}
	return Point{}, false
}

// LevelAt is the greatest time in s at a current where the points on both sides of it
// say the same, as between the last point of a bimetal and what a magnet does; false
// where they do not.
func (c *Curve) LevelAt(currentA float64) (s float64, level bool) {
	if n := len(c.max); n < 2 || currentA <= c.max[0].CurrentA || currentA >= c.max[n-1].CurrentA {
		return 0, false
	}
	a, b := span(c.max, currentA)
	return a.S, a.S == b.S
}

// MaxPoints lists the points of the greatest times, lowest current first.
func (c *Curve) MaxPoints() []Point { return slices.Clone(c.max) }

// MustOpenA is the least current in A that is sure to open the fuse, or false
// where no such current is known. Below it the fuse may carry for ever.
func (c *Curve) MustOpenA() (float64, bool) {
	if len(c.max) > 0 {
		return c.max[0].CurrentA, true
	}
	if c.total > 0 {
		return math.Sqrt(c.total / adiabaticMeltingS), true
	}
	return 0, false
}

// MinTime is the time in s before which the fuse never opens.
//
// It is +Inf up to the non-fusing current; from there to the first point that
// point's I2t, since a smaller current has more time to lose its heat; log-log
// between points; beyond the last one constant I2t. A declared melting I2t is a floor
// everywhere, as no fuse melts on less. Where nothing is known it is 0.
func (c *Curve) MinTime(currentA float64) float64 {
	if !(currentA > c.nonFusingA) {
		return math.Inf(1)
	}
	floor := c.melting / (currentA * currentA)
	n := len(c.min)
	switch {
	case n == 0:
		return floor
	case currentA <= c.min[0].CurrentA:
		return max(floor, constantI2t(c.min[0], currentA))
	case currentA < c.min[n-1].CurrentA:
		return max(floor, logLog(c.min, currentA))
	case c.melting > 0:
		return min(floor, c.min[n-1].S)
	}
	return constantI2t(c.min[n-1], currentA)
}

// MaxTime is the time in s by which the fuse has opened for certain: +Inf below
// the first point, where it need not open at all; log-log between points;
// beyond the last one the I2t of the last point but not below 1 ms. A declared
// total I2t is that of great currents: it speaks for times up to 10 ms only.
func (c *Curve) MaxTime(currentA float64) float64 {
	n := len(c.max)
	if n == 0 {
		if c.TotalSpeaks(currentA) {
			return c.total / (currentA * currentA)
		}
		return math.Inf(1)
	}
	last := c.max[n-1]
	switch {
	case !(currentA >= c.max[0].CurrentA):
		return math.Inf(1)
	case currentA < last.CurrentA:
		return logLog(c.max, currentA)
	case c.TotalSpeaks(currentA):
		return min(last.S, c.total/(currentA*currentA))
	}
	return min(last.S, max(slowestMaxS, constantI2t(last, currentA)))
}

// Opening is [Curve.MaxTime] with its line, and how that comes about in words: "",
// or with a comma before them.
func (c *Curve) Opening(currentA float64) (l Line, how string) {
	s, n := c.MaxTime(currentA), len(c.max)
	switch {
	case math.IsInf(s, 1):
		return line(s, "s", "it may stay closed below its first point", ""), ""
	case n > 0 && currentA < c.max[n-1].CurrentA:
		a, b := span(c.max, currentA)
		return line(s, "s", "t_1 (t_2 / t_1)^(ln(I / I_1) / ln(I_2 / I_1))", "$1 * ($2 / $1)^(ln($3 / $4) / ln($5 / $4))",
			a.S, b.S, currentA, a.CurrentA, b.CurrentA), ", straight on log-log paper"
	case c.TotalSpeaks(currentA) && n == 0:
		return line(s, "s", "I2t_t / I^2", "$1 / $2^2", c.total, currentA), ", by its total I2t"
	case c.TotalSpeaks(currentA):
		return line(s, "s", "min(t_last, I2t_t / I^2)", "min($3, $1 / $2^2)", c.total, currentA, c.max[n-1].S), ", by its total I2t"
	}
	last := c.max[n-1]
	return line(s, "s", "min(t_last, max(0.001 s, I_last^2 t_last / I^2))", "min($2, max(0.001, $1^2 * $2 / $3^2))",
		last.CurrentA, last.S, currentA), ", beyond the last point at its I2t, arcing to 1 ms at least"
}

// TotalSpeaks reports whether a current is so great that the declared total I2t
// holds at it: the link then melts without losing heat, within some 10 ms.
func (c *Curve) TotalSpeaks(currentA float64) bool {
	return c.total > 0 && c.total/(currentA*currentA) <= adiabaticMeltingS*(1+1e-9)
}

// MeltingI2t is the least I2t in A2s on which the fuse opens at great currents:
// declared, else of the last min point. It is false where neither is known.
func (c *Curve) MeltingI2t() (float64, bool) {
	if c.melting > 0 {
		return c.melting, true
	}
	if n := len(c.min); n > 0 {
		return i2t(c.min[n-1]), true
	}
	return 0, false
}

// TotalI2t is the greatest I2t in A2s that the fuse lets through at great
// currents: declared, else of the last max point. It is false where neither is
// known.
func (c *Curve) TotalI2t() (float64, bool) {
	if c.total > 0 {
		return c.total, true
	}
	if n := len(c.max); n > 0 {
		return i2t(c.max[n-1]), true
	}
	return 0, false
}

// OpensWithinA is the least current in A that opens the fuse for certain within
// a time, or false if no current up to a million amperes does.
func (c *Curve) OpensWithinA(s float64) (float64, bool) {
	const greatest = 1e6
	least, ok := c.MustOpenA()
	if !ok || !(s > 0) || c.MaxTime(greatest) > s {
		return 0, false
	}
	if c.MaxTime(least) <= s {
		return least, true
	}
	return c.crossing(c.MaxTime, s, least, greatest), true
}

// RidesForA is the greatest current in A that the fuse is sure to carry for a
// time; at least the non-fusing current.
func (c *Curve) RidesForA(s float64) float64 {
	const greatest = 1e6
	if c.MinTime(greatest) >= s {
		return greatest
	}
	return c.crossing(c.MinTime, s, c.nonFusingA, greatest)
}

// crossing bisects for the current where a falling time passes s.
func (c *Curve) crossing(time func(float64) float64, s, lo, hi float64) float64 {
	for range 200 {
		middle := math.Sqrt(lo * hi)
		if middle <= lo || middle >= hi {
			break
		}
		if time(middle) >= s {
			lo = middle
		} else {
			hi = middle
		}
	}
	return lo
}

// breakpoints are the currents in A at which the max side changes its shape.
func (c *Curve) breakpoints() []float64 {
	var list []float64
	for _, p := range c.max {
		list = append(list, p.CurrentA)
	}
	if least, ok := c.MustOpenA(); ok {
		list = append(list, least)
	}
	return list
}

func i2t(p Point) float64 { return p.CurrentA * p.CurrentA * p.S }

func constantI2t(p Point, currentA float64) float64 { return i2t(p) / (currentA * currentA) }

// logLog interpolates between the points around a current that lies within
// them.
func logLog(points []Point, currentA float64) float64 {
	a, b := span(points, currentA)
	x := math.Log(currentA/a.CurrentA) / math.Log(b.CurrentA/a.CurrentA)
	return a.S * math.Pow(b.S/a.S, x)
}

// span returns the points around a current that lies within them.
func span(points []Point, currentA float64) (a, b Point) {
	i := 1
	for i < len(points)-1 && points[i].CurrentA < currentA {
		i++
	}
	return points[i-1], points[i]
}
