package fuse

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/circuit"
)

// quicken is the fix for a short circuit that its fuse clears too late: less
// resistance where the loop has most of it, or another fuse.
func (s *supply) quicken(x clearing, within float64) string {
	faster := fmt.Sprintf("use a %s for %s that opens within %s at %s A", noun(s.fuseOf(x.fuse)), x.fuse, seconds(within), rules.Figure(roundDown(x.leastA)))
	if down, ok := s.smallerOpening(x); ok {
		faster = fmt.Sprintf("use a %s of %s A for %s", noun(s.fuseOf(x.fuse)), rules.Figure(down), x.fuse)
	}
	switch {
	case math.IsInf(x.needA, 1):
		return faster
	case x.limited:
		return faster + fmt.Sprintf(", or a source with a current limit of at least %s A in place of %s", rules.Figure(rules.RoundUp(s.Required()*x.needA, 1)), x.Source.ID)
	}
	return s.lessResistance(x) + ", or " + faster
}

// smallerOpening is the largest rating of a fuse's class that a short circuit opens
// in time, if it carries what flows in use. A smaller fuse has more resistance itself.
func (s *supply) smallerOpening(x clearing) (ratedA float64, ok bool) {
	f := s.fuseOf(x.fuse)
	for _, a := range slices.Backward(calc.StandardRatings(calc.FuseClass(f.Class))) {
		flows := x.leastA
		if !x.limited {
			least := s.least(x.current).fault
			flows *= least.LoopOhm / (least.LoopOhm + least.Ohm(s.Circuit.Edge(x.fuse))*(f.RatedA/a-1))
		}
		if a < f.RatedA && flows >= s.Required()*x.needA*a/f.RatedA {
			return s.smaller(f, a)
		}
	}
	return 0, false
}

// resistive is an element of a loop and its part of the loop's resistance.
type resistive struct {
	*circuit.Edge
	ohm float64
}

// lessResistance says where the loop of a short circuit has most of its resistance,
// and which sizes of these conductors would let the current through that it takes.
func (s *supply) lessResistance(x clearing) string {
	fault := s.least(x.current).fault
	total := math.Abs(fault.OpenV) / fault.LoopOhm
	most := fault.LoopOhm * x.leastA / (s.Required() * x.needA) // of the loop's resistance
	var wires []resistive
	var rest resistive
	for _, e := range fault.Way() {
		r := resistive{e, fault.Ohm(e)}
		if e.Kind == circuit.WireEdge {
			wires = append(wires, r)
		} else if r.ohm > rest.ohm {
			rest = r
		}
	}
	slices.SortStableFunc(wires, func(a, b resistive) int { return cmp.Or(cmp.Compare(b.ohm, a.ohm), cmp.Compare(a.ID, b.ID)) })
	if text, ok := s.thicker(wires, fault.LoopOhm, most); ok && x.leastA >= 0.999*total {
		return text
	}
	where := "the loop"
	if len(wires) > 0 && wires[0].ohm > rest.ohm {
		rest = wires[0]
	}
	if rest.Edge != nil {
		where += fmt.Sprintf(", of which %s has most (%s)", rest.Part, milliohms(rest.ohm))
	}
	return fmt.Sprintf("bring the resistance of %s, from %s to %s at most", where, milliohms(fault.LoopOhm), milliohms(most))
}

// thicker proposes sizes for as few as possible of the wires of a loop, those with
// most resistance first, that leave it no more than a resistance in Ohm.
func (s *supply) thicker(wires []resistive, loopOhm, mostOhm float64) (text string, ok bool) {
	const gentle = 0.25 // to no less than a quarter of its resistance, if another wire can help
	var sum float64
	for n, w := range wires {
		sum += w.ohm
		share := 1 - (loopOhm-mostOhm)/sum
		if share <= 0 || n == 0 && share < gentle && len(wires) > 1 && wires[1].ohm > 0.1*w.ohm {
			continue
		}
		if text, ok := s.sizesFor(wires[:n+1], share, loopOhm); ok {
			return text, true
		}
	}
	return "", false
}

// sizesFor is the sizes that leave wires a share of their resistance.
func (s *supply) sizesFor(wires []resistive, share, loopOhm float64) (text string, ok bool) {
	var sizes, now []string
	bySize := map[string][]string{}
	for _, w := range wires {
		rated, err := capacity.Derated(s.Pass, s.Subject(w.ID, "").Working, w.ID)
		if err != nil {
			return "", false
		}
		size, ok := rated.ThinnestThat(s.Pass, func(c *capacity.Conductor) bool { return c.OhmPerMetre() <= share*rated.OhmPerMetre()*(1+1e-9) })
		if !ok {
			return "", false
		}
		if bySize[size] == nil {
			sizes = append(sizes, size)
		}
		bySize[size] = append(bySize[size], w.ID)
		now = append(now, rules.Figure(rounded(1000*w.ohm)))
	}
	for i, size := range sizes {
		sizes[i] = fmt.Sprintf("at least %s for %s", size, rules.And(bySize[size]))
	}
	return fmt.Sprintf("use %s (%s of the loop's %s)", rules.And(sizes), strings.Join(now, " + "), milliohms(loopOhm)), true
}

func milliohms(ohm float64) string { return rules.Figure(rounded(1000*ohm)) + " mOhm" }

// rounded leaves three significant digits.
func rounded(v float64) float64 {
	if v == 0 || math.IsInf(v, 0) {
		return v
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-2)
	return math.Round(v/step) * step
}
