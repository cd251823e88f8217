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

// judgeLeftToLoad judges a conductor whose fuse leaves overload to the part
// behind it: the part's own limits must suit the conductor.
func judgeLeftToLoad(s *supply, c *rules.Check, id string, k coordination) *verdict {
	f := s.Spec.Fuses[k.by]
	c.GivenText("by", k.by+" leaves overload to", f.OverloadBy, f.Path()+".overload_protection_by")
	c.Related(f.Path()+".overload_protection_by", "overload is left to this part")
	v := &verdict{fuse: k.by}
	if other := s.unlimited(f); other != "" {
		v.give = func() {
			c.Fix("give %s a fuse of its own, or choose %s by the ampacity of %s", other, k.by, id)
			c.Fail("%s leaves overload to %s, but %s hangs behind it as well and nothing limits its current", k.by, f.OverloadBy, other)
		}
		return v
	}
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
		c.Fix("use %s or more for %s, or lower the limit of %s", size, id, l.id)
	}
	v.give = func() {
		c.AtMost(rules.Amperes(cont), rules.Amperes(rated.IzA), "%s carries %s A; %s, to which %s leaves overload, draws at most %s A continuously",
			id, rules.Figure(rated.IzA), l.id, k.by, rules.Figure(cont))
	}
	if l.peakA <= rated.IzA && l.peakA > 0 {
		peak := c.Given("I_peak", "peak limit of "+l.id, l.peakA, "A", l.peakPath)
		v.headroom = ratio(rated.IzA, peak)
		v.give = func() {
			c.AtMost(rules.Amperes(peak), rules.Amperes(rated.IzA), "%s carries %s A continuously; %s, to which %s leaves overload, never draws more than %s A",
				id, rules.Figure(rated.IzA), l.id, k.by, rules.Figure(peak))
		}
		return v
	}
	if l.peakA > 0 && cont <= rated.IzA {
		return s.judgePeak(c, v, rated, l, id)
	}
	return v
}

// judgePeak judges a peak above the ampacity by the conductor's own heating,
// from the temperature that the continuous current leaves it at.
func (s *supply) judgePeak(c *rules.Check, v *verdict, rated *capacity.Conductor, l limiter, id string) *verdict {
	if math.IsInf(l.peakS, 1) {
		c.NotChecked(l.timePath, "%s draws up to %s A, above the %s A that %s carries; nothing says for how long", l.id,
			rules.Figure(l.peakA), rules.Figure(rated.IzA), id)
		return nil
	}
	heating, err := rated.Heating(rated.LimitC)
	if err != nil {
		unknown(c, err)
		return nil
	}
	peak := c.Given("I_peak", "peak limit of "+l.id, l.peakA, "A", l.peakPath)
	last := c.Given("t_peak", "for how long", l.peakS, "s", l.timePath)
	start := rated.WorkSteady(c.Working, heating, l.continuousA)
	bears := rated.WorkTimeTo(c.Working, heating, peak, start)
	v.headroom = ratio(bears, last)
	v.give = func() {
		c.AtMost(rules.Quantity{Value: last, Unit: "s"}, rules.Quantity{Value: bears, Unit: "s"},
			"%s, to which the fuse leaves overload, draws %s A for %s s; %s bears that for %s s", l.id, rules.Figure(peak), rules.Figure(last), id, rules.Figure(bears))
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
