package motor

import (
	"fmt"
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
)

func phaseCablePeakHot() *rules.Rule {
	return &rules.Rule{
		ID:     "phase-cable-peak-hot",
		Family: family,
		Title:  "a phase cable gets too hot while the controller's peak lasts",
		Why: "For a minute or two a controller lets a multiple of its continuous current through. A cable sized for the mean of the ride is hot by then, and its " +
			"lugs on the motor are the hottest of all.",
		Relation: "from the heat of phase_continuous_A, phase_peak_A (of several conductors in parallel the share of each, by their resistances) takes the conductor to its limit of temperature in no less than phase_peak_s. A motor held still keeps one " +
			"phase at the peak of its sine, which heats it twice as much: controllers lower their current then, which is not checked. A controller " +
			"with a phase_peak_s or a battery_peak_A has a phase_peak_A",
		Source:   "heat balance in steps of temperature; heat capacities of IEC 60949",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.phase-cable-peak-hot", "policy.terminal_max_C"},
		Vital:    []string{"controllers.phase_peak_A", "controllers.phase_peak_s"},
		Fix:      "use a larger phase cable, or set the controller's peak phase current or its time lower",
		Example: rules.Example{Vehicle: "mole", Subject: "w_phase_u", Edits: []rules.Edit{
			{Path: "wires.w_phase_u.size", Value: `"25 mm2"`}, {Path: "controllers.drive.phase_peak_A", Value: "350"}}},
		Check: checkPhasePeak,
	}
}

func checkPhasePeak(p *rules.Pass) {
	heatings := capacity.Heatings{}
	eachCable(p, func(c *rules.Check, d drive, id string) {
		peak, s, ok := d.peakIn(c, p, id)
		if !ok {
			return
		}
		r, err := capacity.RateConductor(p, c.Working, id)
		if !rated(c, id, err) {
			return
		}
		if peak <= r.IzA {
			c.Holds(true, "%s carries the peak phase current of %s, %s A rms, continuously", id, d.by.ID, rules.Figure(peak))
			return
		}
		before, ok := d.continuousIn(c, p, id)
		if !ok {
			return
		}
		heating, err := heatings.Of(r)
		if err != nil {
			c.NotChecked("what "+id+" may carry", "%v", err)
			return
		}
		from, stays := heating.Steady(before)
		if !stays || from >= r.LimitC {
			c.Because(phaseCableOverloadedID, id)
			from = r.LimitC
		}
		c.Solved("T_0", "temperature of "+id+" at its continuous current", from, "C", "heat balance")
		t := heating.TimeTo(peak, from, r.LimitC)
		if !math.IsInf(t, 1) && from < r.LimitC {
			r.ExplainTimeBetween(c.Working, heating, peak, from, r.LimitC)
		}
		b := burst{before, peak, s * p.Required()}
		c.Fix("%s", b.fix(p, r, &heatings, id, d.by.ID))
		c.AtLeast(rules.Quantity{Value: s, Unit: "s"}, rules.Quantity{Value: t, Unit: "s"}, "%s: %s A rms of phase current for %s s, withstands it for %s s",
			id, rules.Figure(peak), rules.Figure(s), rules.Figure(t))
	})
}

// burst is a current of a cable: its mean before, in A rms, and a peak in A rms that
// lasts so many s.
type burst struct{ before, peak, lasts float64 }

// withstood reports whether a conductor stays below its limit of temperature.
func (b burst) withstood(r *capacity.Conductor, known *capacity.Heatings) bool {
	if b.peak <= r.IzA {
		return true
	}
	heating, err := known.Of(r)
	if err != nil || b.before > r.IzA {
		return false
	}
	from, stays := heating.Steady(b.before)
	return stays && from < r.LimitC && heating.TimeTo(b.peak, from, r.LimitC) >= b.lasts
}

// fix proposes a cable that withstands the burst, or the greatest peak that this one does.
func (b burst) fix(p *rules.Pass, r *capacity.Conductor, known *capacity.Heatings, id, controller string) string {
	var ways []string
	if thick, ok := r.ThinnestThat(p, func(c *capacity.Conductor) bool { return b.withstood(c, known) }); ok {
		ways = append(ways, fmt.Sprintf("use at least %s for %s", thick, id))
	}
	low, high := b.before, b.peak
	for high-low > 0.1 {
		middle := (low + high) / 2
		if (burst{b.before, middle, b.lasts}).withstood(r, known) {
			low = middle
		} else {
			high = middle
		}
	}
	if (burst{b.before, low, b.lasts}).withstood(r, known) && rules.RoundDown(low, 1) >= b.before {
		ways = append(ways, fmt.Sprintf("set the peak phase current of %s to at most %s A rms", controller, rules.Figure(rules.RoundDown(low, 1))))
	}
	if ways == nil {
		return "use a larger phase cable, or set the continuous and the peak phase current of " + controller + " lower"
	}
	return strings.Join(ways, ", or ")
}
