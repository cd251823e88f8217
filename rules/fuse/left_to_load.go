package fuse

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/schema"
)

// limiter is a part that limits its own current, so that it cannot overload the
// conductors that feed it (IEC 60364-4-43, 433.3.1).
type limiter struct {
	id             string
	continuousA    float64
	continuousPath string
	peakA, peakS   float64 // 0 where it has no peak above the continuous current
	peakPath       string
	timePath       string
}

// limiter reads the limits of the part that a fuse leaves overload to.
func (s *supply) limiter(id string) (limiter, error) {
	if c, ok := s.Spec.Controllers[id]; ok {
		path := c.Path()
		l := limiter{id: id, continuousPath: path + ".battery_continuous_A", peakPath: path + ".battery_peak_A", timePath: path + ".peak_s"}
		if !c.BatteryPeakA.Known {
			return l, &rules.Missing{Path: l.peakPath, What: "the battery-side current limit of " + id}
		}
		l.peakA, l.continuousA = c.BatteryPeakA.Value, c.BatteryContinuousA.Or(c.BatteryPeakA.Value)
		if !c.BatteryContinuousA.Known {
			l.continuousPath = l.peakPath
		}
		l.peakS = c.PeakS.Or(math.Inf(1))
		return l, nil
	}
	if c, ok := s.Spec.Converters[id]; ok {
		path := c.Path() + ".input.max_A"
		if !c.Input.MaxA.Known {
			return limiter{}, &rules.Missing{Path: path, What: "the greatest input current of " + id}
		}
		return limiter{id: id, continuousA: c.Input.MaxA.Value, continuousPath: path}, nil
	}
	return limiter{}, &rules.Missing{Path: "controllers." + id, What: "a controller or converter whose current limit is declared; " + id + " is neither"}
}

// evalLeftToLoad checks a conductor whose fuse leaves overload to the part behind
// it: the part's own limits have to suit the conductor.
func evalLeftToLoad(s *supply, c *rules.Check, id string, k coordination) *verdict {
	f := s.fuseOf(k.by)
	c.GivenText("by", "overload protection of "+k.by+" is left to", f.OverloadBy, f.Path()+".overload_protection_by")
	c.Related(f.Path()+".overload_protection_by", "this part protects from overload")
	v := &verdict{fuse: k.by}
	if other := s.unlimited(f); other != "" {
		v.give = func() {
			c.Fix("fit %s with its own fuse, or size %s by the ampacity of %s", other, k.by, id)
			c.Fail("%s is not protected from overload: %s leaves that to %s, but also feeds %s, whose current nothing limits", id, k.by, f.OverloadBy, other)
		}
		return v
	}
	c.AsDeclared(f.Path()+".overload_protection_by", f.OverloadBy+" never draws more than its limit, which is a setting")
	l, err := s.limiter(f.OverloadBy)
	if err != nil {
		unknown(c, err)
		return nil
	}
	rated, err := s.rated(c, id)
	if err != nil {
		unknown(c, err)
		return nil
	}
	cont := c.Given("I_B", "continuous limit of "+l.id, l.continuousA, "A", l.continuousPath)
	v.headroom = ratio(rated.IzA, cont)
	if size, ok := s.size(rated, cont); ok {
		c.Fix("use at least %s for %s, or lower the continuous limit of %s to at most %s A", size, id, l.id, rules.Figure(rules.RoundDown(rated.IzA, 1)))
	}
	v.give = func() {
		c.AtMost(rules.Amperes(cont), rules.Amperes(rated.IzA), "%s: up to %s A continuous drawn by %s, to which %s leaves overload, ampacity %s A",
			id, rules.Figure(cont), l.id, k.by, rules.Figure(rated.IzA))
	}
	if l.peakA <= rated.IzA && l.peakA > 0 {
		peak := c.Given("I_peak", "peak limit of "+l.id, l.peakA, "A", l.peakPath)
		v.headroom = ratio(rated.IzA, peak)
		v.give = func() {
			c.AtMost(rules.Amperes(peak), rules.Amperes(rated.IzA), "%s: never more than %s A drawn by %s, to which %s leaves overload, ampacity %s A",
				id, rules.Figure(peak), l.id, k.by, rules.Figure(rated.IzA))
		}
		return v
	}
	if l.peakA > 0 && cont <= rated.IzA {
		return s.evalPeak(c, v, rated, l, id)
	}
	return v
}

// evalPeak checks a peak above the ampacity by the conductor's own heating, from
// its temperature at the continuous current.
func (s *supply) evalPeak(c *rules.Check, v *verdict, rated *capacity.Conductor, l limiter, id string) *verdict {
	if math.IsInf(l.peakS, 1) {
		c.NotChecked(l.timePath, "%s: peaks of %s A drawn by %s, ampacity %s A; how long they last is not declared", id,
			rules.Figure(l.peakA), l.id, rules.Figure(rated.IzA))
		return nil
	}
	heating, err := rated.Heating(rated.LimitC)
	if err != nil {
		unknown(c, err)
		return nil
	}
	peak := c.Given("I_peak", "peak limit of "+l.id, l.peakA, "A", l.peakPath)
	last := c.Given("t_peak", "duration of the peak", l.peakS, "s", l.timePath)
	start := rated.ExplainSteady(c.Working, heating, l.continuousA)
	withstands := rated.ExplainTimeTo(c.Working, heating, peak, start)
	c.Fix("limit the peaks of %s to at most %s, or to at most %s A", l.id, seconds(roundDown(withstands)), rules.Figure(rules.RoundDown(rated.IzA, 1)))
	if size, ok := s.size(rated, peak); ok {
		c.Fix("use at least %s for %s, or limit the peaks of %s to at most %s", size, id, l.id, seconds(roundDown(withstands)))
	}
	v.headroom = ratio(withstands, last)
	v.give = func() {
		c.AtMost(rules.Quantity{Value: last, Unit: "s"}, rules.Quantity{Value: withstands, Unit: "s"},
			"%s: peaks of %s A for %s drawn by %s, withstands them for %s", id, rules.Figure(peak), seconds(last), l.id, seconds(withstands))
	}
	return v
}

// unlimited names a consumer behind a fuse, other than the part it leaves
// overload to, that nothing limits and that has no fuse of its own; "" if none.
func (s *supply) unlimited(f *schema.Fuse) string {
	for id, part := range s.Spec.Parts() {
		terminal := ""
		switch part.(type) {
		case *schema.Load, *schema.Controller:
			terminal = id + ".pos"
		case *schema.Converter:
			terminal = id + ".in_pos"
		}
		if terminal != "" && id != f.OverloadBy && s.nearest(f.ID, terminal) {
			return id
		}
	}
	return ""
}
