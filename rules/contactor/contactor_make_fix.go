package contactor

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
)

// fixMake says what to do about a contact that closes on too much, in A: into
// capacitors, and what loads draw. A pre-charge that has too little time is told from
// one that leaves too much voltage across the contact however long it lasts: rest is
// what the message says of the latter.
func (d device) fixMake(c *rules.Check, p *rules.Pass, k charging.Closing, inrush, loads float64) (rest string) {
	contact := fmt.Sprintf("use a contact with a making capacity of at least %s A", rules.Figure(rules.RoundUp(p.Required()*(inrush+loads), 1)))
	if inrush == 0 || k.Resisted || !d.power {
		c.Fix("%s", contact)
		return ""
	}
	a, precharged := charging.AttemptOf(p, k)
	v, found := d.fullV(p, p.Subject(d.id, d.base.Path()).Working)
	switch {
	case !found:
		return ""
	case !precharged || !a.Supplied():
		c.Fix("add a pre-charge around %s, or %s", d.id, contact)
		return ""
	}
	if text := charging.DipFix(p, a); text != "" {
		c.Fix("%s", text)
		volt, who := a.Dip(p)
		return fmt.Sprintf("; %s draws the capacitors down by %s V while the contact moves", who, rules.Figure(volt))
	}
	s, reaches := a.Enough(p, v, loads)
	at, _ := a.Contactor.Awaits()
	percent, rises := 0.0, false
	if !a.Awaits() {
		at = nil
	}
	if at != nil {
		percent, rises = a.Percent(p, v, loads)
	}
	c.Fix("%s", contact)
	switch {
	case at != nil && rises && percent > at.Percent:
		c.Fix("raise closes_at.percent of %s from %s to %s, or %s", d.id, rules.Figure(at.Percent), rules.Figure(percent), contact)
	case at == nil && reaches && a.Delay().Known && s > a.Delay().Value:
		c.Fix("%s, or %s", a.Longer(p, s), contact)
	case !reaches && p.Required()*loads < d.contact.MakeA.Value:
		c.Fix("%s%s", remedy(p, &a, d.id, v), contact)
		if final, full, oscillating, ok := a.Settled(p, circuit.Highest); ok && oscillating == "" {
			return fmt.Sprintf("; its pre-charge never gets beyond %s V of %s V, so that more time does not help", rules.Figure(final), rules.Figure(full))
		}
	}
	return ""
}

// remedy is the beginning of a fix for a pre-charge that settles too low.
func remedy(p *rules.Pass, a *charging.Attempt, id string, v float64) string {
	if text := a.Resize(p, v); text != "" {
		return text + "; or "
	}
	if who, _ := a.Draw(p, circuit.Highest); who != "" && !a.Plain() {
		return fmt.Sprintf("feed %[1]s from the battery side of %[2]s or switch it on only after %[2]s has closed; or ", who, id)
	}
	return ""
}
