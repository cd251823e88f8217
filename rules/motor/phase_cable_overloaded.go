package motor

import (
	"errors"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
)

const phaseCableOverloadedID = "phase-cable-overloaded"

func phaseCableOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     phaseCableOverloadedID,
		Family: family,
		Title:  "a phase cable carries more than its ampacity",
		Why: "The motor's cables carry the phase current, which on a hill is several times that of the battery: at little speed the battery gives little " +
			"and the phases everything. No fuse is in them; the controller alone holds the current down, to its own limit.",
		Relation: "phase_continuous_A of the controller, as rms, <= ampacity of every conductor between it and the motor; of several in parallel each carries its share, by their resistances",
		Source:   "IEC 60364-4-43, 433.3.1 (a conductor protected by what limits its current); heat balance calibrated to NFPA 70 Table 310.17 and DIN VDE 0298-4",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.phase-cable-overloaded", "policy.terminal_max_C", "policy.insulation_max_C", "policy.ampacity"},
		Vital:    []string{"controllers.phase_continuous_A"},
		Fix:      "use a larger phase cable, or set the controller's phase current to what the cable carries",
		Example: rules.Example{Vehicle: "mole", Subject: "w_phase_u", Edits: []rules.Edit{
			{Path: "wires.w_phase_u.size", Value: `"10 mm2"`}}},
		Check: checkPhaseCable,
	}
}

func checkPhaseCable(p *rules.Pass) {
	eachCable(p, func(c *rules.Check, d drive, id string) {
		i, ok := d.continuousIn(c, p, id)
		if !ok {
			return
		}
		r, err := capacity.RateConductor(p, c.Working, id)
		if !rated(c, id, err) {
			return
		}
		if size, ok := r.ThinnestFor(p, i*p.Required()); ok {
			c.Fix("use at least %s for %s, or set the continuous phase current of %s to at most %s A rms", size, id, d.by.ID, rules.Figure(rules.RoundDown(r.IzA/p.Required()/d.share(p, id), 1)))
		}
		c.AtMost(rules.Amperes(i), rules.Amperes(r.IzA), "%s: %s A rms of phase current of %s continuously, ampacity %s A", id, rules.Figure(i), d.by.ID, rules.Figure(r.IzA))
	})
}

// rated reports whether a conductor could be rated; if not, it reports the check as
// not made.
func rated(c *rules.Check, id string, err error) bool {
	var missing *rules.Missing
	switch {
	case errors.As(err, &missing):
		c.NotChecked(missing.Path, "%s: its ampacity depends on %s", id, missing.What)
	case err != nil:
		c.NotChecked("what "+id+" may carry", "%v", err)
	default:
		return true
	}
	return false
}
