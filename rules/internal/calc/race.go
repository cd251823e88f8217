package calc

import (
	"math"
	"slices"
	"sort"
)

// Race is a fuse against the damage of a conductor from one current on. It answers
// as [WorstMargin] does, to the last digit, for any number of greatest currents:
// over one trunk lead very many loops, through as many fuses alike. It is not for
// several goroutines.
type Race struct {
	fuse   *Curve
	damage *Damage
	loA    float64
	lastA  float64 // the greatest current at which the fuse's curve changes its shape
	asked  int
	step   []raceStep // from loA on, up to where it was asked for
}

// raceStep is one of the steps of a range: where it ends, and a bound below the
// margins from the begin of the range up to there. Over a step the margin is at least
// the time that the conductor bears at its end, over that of the fuse at its begin.
type raceStep struct{ endA, bound float64 }

const (
	raceRatio = 1.02 // of the ends of a step
	// raceSweeps is how often a race is gone through by itself before steps are made:
	// they are as many as the currents that two or three sweeps ask.
	raceSweeps = 3
)

// NewRace prepares a race from a current in A on.
func NewRace(fuse *Curve, damage *Damage, loA float64) *Race {
	return &Race{fuse: fuse, damage: damage, loA: loA, lastA: slices.Max(append(fuse.breakpoints(), 0))}
}

// Worst is where the fuse protects the conductor least, up to a current in A.
// Mostly that is the greatest current, and the steps before it show that nowhere else
// is worse.
func (r *Race) Worst(hiA float64) (Worst, error) {
	if r.asked++; r.asked > raceSweeps {
		if worst, ok := r.atEnd(hiA); ok {
			return worst, nil
		}
	}
	return WorstMargin(r.fuse, r.damage.Time, r.loA, hiA)
}

// atEnd is the comparison at the greatest current, where [WorstMargin] would find
// none worse in its sweep: not in the steps whose bound is above it, nor at the
// points of the sweep beyond these.
func (r *Race) atEnd(hiA float64) (Worst, bool) {
	if !(r.loA > 0) || !(hiA >= r.loA) || math.IsInf(hiA, 1) {
		return Worst{}, false
	}
	worst := compared(r.fuse, r.damage.Time, hiA)
	sureA := r.above(worst.Margin, hiA)
	if r.lastA >= sureA {
		return Worst{}, false
	}
	for i := sweepPoints - 1; i > 0; i-- {
		x := sweepPoint(r.loA, hiA, i)
		if x < sureA {
			return worst, true
		}
		if compared(r.fuse, r.damage.Time, x).before(worst) {
			return Worst{}, false
		}
	}
	return Worst{}, false
}

// above is the current up to which every margin is above one; of the steps that end
// below a greatest current.
func (r *Race) above(margin, hiA float64) float64 {
	last := raceStep{r.loA, math.Inf(1)}
	if n := len(r.step); n > 0 {
		last = r.step[n-1]
	}
	for last.bound > margin && last.endA*raceRatio <= hiA {
		last = r.next(last)
		r.step = append(r.step, last)
	}
	i := sort.Search(len(r.step), func(i int) bool { return r.step[i].bound <= margin || r.step[i].endA > hiA })
	if i == 0 {
		return r.loA
	}
	return r.step[i-1].endA
}

// next is the step after another.
func (r *Race) next(s raceStep) raceStep {
	const rounding = 1e-6 // of both times
	next := raceStep{s.endA * raceRatio, s.bound}
	if bears := r.damage.Time(next.endA); !math.IsInf(bears, 1) {
		next.bound = min(s.bound, bears/r.fuse.longest(s.endA, next.endA)*(1-rounding))
	}
	return next
}

// longest bounds [Curve.MaxTime] over the currents between two. It falls with the
// current, but for where a total I2t begins to speak.
func (c *Curve) longest(fromA, toA float64) float64 {
	s := c.MaxTime(fromA)
	if c.TotalSpeaks(toA) && !c.TotalSpeaks(fromA) {
		s = max(s, adiabaticMeltingS)
	}
	return s
}
