package contactor

import (
	"math"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func contactorDropsUnderLoad() *rules.Rule {
	return &rules.Rule{
		ID:     "contactor-drops-under-load",
		Family: family,
		Title:  "a contactor cannot interrupt full current when its coil loses its supply",
		Why: "One blown coil fuse, one loose plug, one tripped converter, and the contactor opens on whatever the controller is drawing. " +
			"It must survive that one break without any warning.",
		Relation: "the greatest of the modes' currents and the controllers' own peaks <= the greatest breaking capacity stated at or above the highest working voltage, in its direction",
		Source:   "single-failure reasoning; data sheet",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"contactors.contact.break", "relays.contact.break", "contactors.contact.reverse_break_A",
			"relays.contact.reverse_break_A", "controllers.battery_peak_A",
		},
		Fix: "use a contactor with a breaking capacity above the controller's peak current, or limit the peak",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "controllers.drive.battery_peak_A", Value: "900"}}},
		Check: checkDrops,
	}
}

func checkDrops(p *rules.Pass) {
	for _, d := range devices(p) {
		if !d.power {
			continue
		}
		if c, ok := onContact(p, d); ok {
			evalDrops(c, p, d)
		}
	}
}

func evalDrops(c *rules.Check, p *rules.Pass, d device) {
	currents, ok := d.currents(c, p)
	if !ok {
		return
	}
	worst := d.worstBreak(currents, false)
	var peaks, driving float64
	for _, id := range d.controllers(p) {
		k := p.Spec.Controllers[id]
		if !k.BatteryPeakA.Known {
			c.NotChecked(k.Path()+".battery_peak_A", "%s: the current to interrupt if its coil loses its supply depends on the peak of %s", d.id, id)
			return
		}
		peaks += c.Given("I_p", "peak of "+id, k.BatteryPeakA.Value, "A", k.Path()+".battery_peak_A")
	}
	for _, k := range currents {
		if isDriving(k.Mode) && k.A > math.Abs(driving) {
			driving = k.SignedA()
		}
	}
	if d.contact.Polarized && driving < 0 && peaks > 0 {
		d.dropsReversed(c, peaks)
		return
	}
	i, when := peaks, "at the controller's peak if its coil loses its supply"
	if worst.A >= peaks {
		i, when = worst.A, "in mode "+worst.Mode.ID+" if its coil loses its supply"
		c.In(worst.Mode.ID, breakCorner(worst.At))
		c.Solved("I", "greatest current of "+worst.Edge.ID, worst.A, "A", "mode "+worst.Mode.ID+", "+worst.At.String())
	}
	if d.breakFails(p, worst) {
		c.Because("contactor-break-low", d.id)
	}
	d.compareBreak(c, p, i, when)
}

// isDriving reports whether controllers draw in a mode: the direction of its
// current is that of their peak, whatever regeneration sends back elsewhere.
func isDriving(mode *schema.Mode) bool {
	for _, draw := range mode.Draw {
		if draw.CurrentA.Or(0) > 0 || draw.PowerW.Or(0) > 0 {
			return true
		}
	}
	return false
}

// dropsReversed compares the peak with what a polarized contact interrupts
// against its direction, which is the one it is driven in.
func (d device) dropsReversed(c *rules.Check, peaks float64) {
	c.Because("contactor-break-reverse-low", d.id)
	c.Fix("swap the conductors at a and b, so that the controllers draw from a to b")
	if !d.contact.ReverseBreakA.Known {
		c.NotChecked(d.contactPath("reverse_break_A"), "%s: the driving current flows from b to a, reverse breaking capacity is not given", d.id)
		return
	}
	limit := c.Given("I_rev", "reverse breaking capacity, from b to a", d.contact.ReverseBreakA.Value, "A", d.contactPath("reverse_break_A"))
	c.AtMost(rules.Amperes(peaks), rules.Amperes(limit), "%s: %s A to interrupt from b to a at the controller's peak if its coil loses its supply, reverse breaking capacity %s A",
		d.id, rules.Figure(peaks), rules.Figure(limit))
}

// breakFails reports whether a current is above what the contact interrupts.
func (d device) breakFails(p *rules.Pass, worst demand.Use) bool {
	v, found, _ := d.workingV(p, p.Subject(d.id, d.base.Path()).Working)
	limit, index := capacity.Breaks(d.contact.Break, v)
	return found && len(d.contact.Break) > 0 && (index < 0 || worst.A > limit)
}
