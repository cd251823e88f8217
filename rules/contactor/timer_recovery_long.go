package contactor

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func timerRecoveryLong() *rules.Rule {
	return &rules.Rule{
		ID:     "timer-recovery-long",
		Family: family,
		Title:  "a timer does not start anew after a short interruption",
		Why: "A timer whose supply is gone for less than its recovery time leaves its contact closed, or goes on where it was. Whoever flicks the key while driving opens the contactor, " +
			"the controller drains its capacitors within milliseconds, and the contactor closes on them without a pre-charge.",
		Relation: "recovery_s <= the shortest time for which a hand opens a key, 0.2 s",
		Source:   "common practice; recovery times of 50 to 200 ms are usual (from memory)",
		Level:    rules.Warning,
		Required: 1,
		Fix:      "use a timer with a shorter recovery time, or let a controller that watches its capacitors close the contactor",
		Example: rules.Example{Vehicle: "heron", Subject: "soft_timer", Edits: []rules.Edit{
			{Path: "timers.soft_timer.recovery_s", Value: "1"}}},
		Check: checkTimerRecovery,
	}
}

// flickS is the shortest time in s for which a hand opens a key.
const flickS = 0.2

func checkTimerRecovery(p *rules.Pass) {
	for id, t := range schema.Sorted(p.Spec.Timers) {
		if t.Spare || t.Function != "on-delay" {
			continue
		}
		c := p.Subject(id, t.Path())
		if !t.RecoveryS.Known {
			c.NotChecked(t.Path()+".recovery_s", "%s: its recovery time is not given; fill in recovery_s from its data sheet", id)
			continue
		}
		s := c.Given("t_r", "recovery time of "+id, t.RecoveryS.Value, "s", t.Path()+".recovery_s")
		least := c.Standard("t_k", "shortest time for which a hand opens a key", flickS, "s", "common practice")
		c.AtMost(rules.Quantity{Value: s, Unit: "s"}, rules.Quantity{Value: least, Unit: "s"},
			"%s: starts anew only after %s s without supply, a hand opens the key for %s s", id, rules.Figure(s), rules.Figure(least))
	}
}
