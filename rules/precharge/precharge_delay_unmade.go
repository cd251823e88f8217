package precharge

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/schema"
)

func prechargeDelayUnmade() *rules.Rule {
	return &rules.Rule{
		ID:     "precharge-delay-unmade",
		Family: family,
		Title:  "nothing makes the contactor wait for its pre-charge",
		Why: "A delay is a property of a device in the coil's path. Where pre-charge relay and contactor hang on one wire, the two coils race: the relay gets the few " +
			"milliseconds by which it is quicker, the capacitors stay empty, and the contactor closes on a short circuit at every start. Where only a person waits, one day nobody does.",
		Relation: "a controller's coil_out, the contact of a timer whose supply comes on no sooner than the pre-charge begins, a voltage relay or a capacitor holds the coil back while the capacitors charge; without one they charge for the " +
			"difference of the operate times, t_main,min - t_relay,max, or not at all, and the first peak of the current that is then left <= make_A; where a person waits, the peak without a wait <= make_A",
		Source: "circuit theory (coil as L and R, pre-charge as R and C, inrush as series RLC circuit); operate times of 5 to 15 ms for relays and 15 to 50 ms for contactors, " +
			"2 to 10 ms of them the armature's travel, are common practice",
		Level: rules.Error,
		Varies: "where a switch by hand is all that holds the coil back, after a pre-charge that begins without it, and the specification names no device and no controller's coil_out is left unused: " +
			"warning on the road or above 60 V with more than 10 J in the capacitors, else note",
		Required: 1,
		Vital:    []string{"contactors.contact.make_A"},
		Fix:      "put the contact of a timer, or the controller's coil_out, into the path of the coil",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "wires.w_coil_contactor.from", Value: `"soft_timer.common"`}}},
		Check: checkMade,
	}
}

func checkMade(p *rules.Pass) {
	for _, a := range charging.Attempts(p) {
		c, ok := onContactor(p, a)
		if !ok {
			continue
		}
		v, ok := full(c, p, a)
		switch {
		case !ok:
		case a.Missing != "":
			c.NotChecked(a.Missing, "pre-charge of %s: depends on every capacitance that it charges, one is not given", a.Contactor.ID)
		case a.Never:
			c.NotChecked("a mode that energises "+a.Contactor.ID, "coil of %s: no mode energises it", a.Contactor.ID)
		case !a.Supplied():
			c.NotChecked("a supply for "+a.Contactor.ID, "pre-charge of %s: nothing feeds it in mode %s", a.Contactor.ID, a.Mode)
		case a.Unsettled(c):
		default:
			evalMade(c.In(a.Mode, "pack full"), p, a, v)
		}
	}
}

func evalMade(c *rules.Check, p *rules.Pass, a charging.Attempt, v float64) {
	id, f := a.Contactor.ID, a.Premise
	if f.Made() && f.By != charging.Hand && f.Undrawn == "" {
		c.Holds(true, "%s waits for its pre-charge: %s", id, maker(f))
		return
	}
	left := v
	if f.By == charging.Race && a.Plain() {
		var trouble *charging.Problem
		if left, trouble = a.ExplainLeft(p, c.Working, v); unknown(c, trouble) {
			return
		}
	}
	event, ok := a.Event(p)
	if !ok {
		c.NotChecked("a loop through "+id, "%s: no source feeds what it connects", id)
		return
	}
	event.LeftV = schema.Some(left)
	peak, ok := event.Inrush(c, p)
	if !ok {
		return
	}
	remedy(c, p, a, v)
	switch {
	case f.By == charging.AtOnce:
		c.Because("contactor-not-keyed", id)
	case f.By == charging.Race:
		c.Because("emergency-stop-indirect", id)
	}
	for _, r := range f.Rivals {
		c.Related(p.Spec.Part(r).Common().Path(), "pulls in together with it")
	}
	text := story(a, f, left, v) + fmt.Sprintf("closes on %s A", rules.Figure(peak))
	rated := a.Contactor.Contact.MakeA
	if !rated.Known {
		c.Fail("%s: %s, making capacity is not given", id, text)
		return
	}
	limit := c.Given("I_m", "making capacity of "+id, rated.Value, "A", a.Contactor.Path()+".contact.make_A")
	c.AtMost(rules.Amperes(peak), rules.Amperes(limit), "%s: %s, making capacity %s A", id, text, rules.Figure(limit))
}

// remedy sets the level of what does not make a contactor wait, and says what would; v
// is the voltage of the full capacitors.
func remedy(c *rules.Check, p *rules.Pass, a charging.Attempt, v float64) {
	f := a.Premise
	switch {
	case a.ByPerson():
		byHand(c, p, a)
	case f.Early != "":
		c.Related(p.Spec.Part(f.Early).Common().Path(), "the timer")
		c.Fix("feed %s from the same side of %s as what begins the pre-charge, so that its time counts from there", f.Early, f.Ahead)
	case f.Idle != "":
		c.Fix("return the coil of %s to %s.coil_out, or put the contact of a timer into its path", a.Contactor.ID, f.Idle)
	case f.By != charging.Hand:
		if s, ok := a.Enough(p, v, 0); ok {
			c.Fix("%s", a.Longer(p, s))
		}
	}
}

// byHand sets the level of a wait that only a person makes, and what to do about it.
func byHand(c *rules.Check, p *rules.Pass, a charging.Attempt) {
	_, path := a.Contactor.Delay()
	c.AsDeclared(path, "a person waits before "+a.Contactor.ID+" closes")
	c.Solved("E", "energy of the full capacitors", a.EnergyJ(p), "J", "C V^2 / 2")
	c.Standard("E_max", "above which it is graver", charging.HandJ, "J",
		"a third of it in the arc of bouncing contacts melts 1 mm3 of silver, common practice")
	c.Level(rules.Note)
	if a.Graver(p) {
		c.Level(rules.Warning)
	}
	c.Fix("put the contact of a timer, or the controller's coil_out, into the path of its coil, or use a contact that withstands it")
}

// story says what there is in place of a device that makes the delay, as the beginning
// of a sentence.
func story(a charging.Attempt, f charging.Premise, left, v float64) string {
	wait := "a delay"
	declared, _ := a.Contactor.Delay()
	if declared.Known {
		wait = "its delay of " + rules.Figure(declared.Value) + " s"
	}
	switch {
	case f.Early != "":
		return fmt.Sprintf("%s is fed ahead of %s, so that its time is over before the pre-charge begins; when %[2]s closes it ", f.Early, f.Ahead)
	case f.Idle != "":
		return fmt.Sprintf("nothing makes %s: no coil returns to %s.coil_out; without the wait it ", wait, f.Idle)
	case f.Undrawn != "":
		return fmt.Sprintf("closes.by is %s, but the circuit does not show %s; without it it ", a.Contactor.Closes.By, f.Undrawn)
	case f.By == charging.Hand && f.Device == "":
		return fmt.Sprintf("nothing that is drawn makes %s, taken for that of a person; without it it ", wait)
	case f.By == charging.Hand:
		return fmt.Sprintf("only the hand on %s makes %s; with that closed already it ", f.Device, wait)
	case f.By == charging.Race:
		return fmt.Sprintf("nothing makes %s: its coil is fed together with that of %s, which leaves %s of %s V across it; ", wait, rules.And(f.Rivals), rules.Figure(left), rules.Figure(v))
	case f.By == charging.Auxiliary:
		return fmt.Sprintf("an auxiliary contact makes an order but not %s; ", wait)
	}
	return fmt.Sprintf("nothing makes %s: its coil has supply as soon as the pre-charge begins; ", wait)
}

// maker names what makes a delay.
func maker(f charging.Premise) string {
	switch f.By {
	case charging.Controller:
		return "its coil returns to the output of " + f.Device
	case charging.Timer:
		return "the contact of " + f.Device + " is in the path of its coil"
	case charging.VoltageRelay:
		return "the contact of " + f.Device + ", which watches the capacitors, is in the path of its coil"
	}
	return "a capacitor across its coil holds it back"
}
