package demand

import (
	"math"
	"slices"

	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/schema"
)

// OwnLimit is a current that a controller may draw, or send back, by its own
// limit, whether or not a mode declares it: the throttle can be opened and the
// brake pulled at any time.
type OwnLimit struct {
	Feedback bool    // the current flows back to the battery
	A        float64 // battery side
	Path     string  // of the current
	S        schema.Number
	SPath    string // of the time that it lasts, which is that of the peak
}

// OwnLimits lists what a controller may do by its own limit. Regeneration
// counts where it is more than the peak: else the peak covers it.
func OwnLimits(k *schema.Controller) []OwnLimit {
	var out []OwnLimit
	if k.BatteryPeakA.Known {
		out = append(out, OwnLimit{A: k.BatteryPeakA.Value, Path: k.Path() + ".battery_peak_A", S: k.PeakS, SPath: k.Path() + ".peak_s"})
	}
	if k.RegenA.Or(0) > k.BatteryPeakA.Or(0) {
		out = append(out, OwnLimit{Feedback: true, A: k.RegenA.Value, Path: k.Path() + ".regen_A", S: k.PeakS, SPath: k.Path() + ".peak_s"})
	}
	return out
}

// LimitFor is what a controller may draw for a time in s by its own limits, in A of
// the battery side, and the path of that value: its peak if it lasts as long, else what
// it may draw continuously; 0 if it states neither. A peak without a time counts for
// any, so that nothing is taken for less than it may be.
func LimitFor(k *schema.Controller, s float64) (a float64, path string) {
	peak, lasting := k.BatteryPeakA, k.BatteryContinuousA
	if peak.Known && (!lasting.Known || k.PeakS.Or(math.Inf(1)) >= s) {
		return peak.Value, k.Path() + ".battery_peak_A"
	}
	return lasting.Or(0), k.Path() + ".battery_continuous_A"
}

// Of names the limit of a controller, for messages and workings.
func (l OwnLimit) Of(id string) string {
	if l.Feedback {
		return "the regeneration of " + id
	}
	return "the battery-side peak of " + id
}

// UndeclaredRegenA is what a controller may feed back by its own limit, in A,
// where no mode says how much of that is asked of it; else 0.
func UndeclaredRegenA(spec *schema.Spec, id string) float64 {
	for _, m := range spec.Modes {
		if d := m.Draw[id]; d != nil && d.RegenA.Known {
			return 0
		}
	}
	return spec.Controllers[id].RegenA.Or(0)
}

// Braking is how long some controllers feed back at a time by the modes that say so, and
// for what share of all time: that which lasts longest, and the largest share. It is
// continuous where no mode says how long.
func Braking(spec *schema.Spec, controllers ...string) (u capacity.Burst) {
	for _, m := range schema.Sorted(spec.Modes) {
		if !slices.ContainsFunc(controllers, func(id string) bool { d := m.Draw[id]; return d != nil && d.RegenA.Or(0) > 0 }) {
			continue
		}
		s, _ := Longest(spec, m)
		if s == 0 {
			return capacity.Burst{}
		}
		u.S = max(u.S, s)
		if m.EveryS.Known && m.LastsS.Known {
			u.Share = max(u.Share, m.LastsS.Value/m.EveryS.Value)
		}
	}
	var all, braking float64
	for _, step := range spec.Cycle {
		all += step.ForS
		if m := spec.Modes[step.Mode]; m != nil && slices.ContainsFunc(controllers, func(id string) bool { d := m.Draw[id]; return d != nil && d.RegenA.Or(0) > 0 }) {
			braking += step.ForS
		}
	}
	if all > 0 {
		u.Share = max(u.Share, braking/all)
	}
	return u
}
