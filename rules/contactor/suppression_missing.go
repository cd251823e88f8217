package contactor

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

func suppressionMissing() *rules.Rule {
	return &rules.Rule{
		ID:     "suppression-missing",
		Family: family,
		Title:  "nothing absorbs the energy of a coil at switch-off",
		Why: "A coil that is switched off drives its voltage up until something breaks down: hundreds of volts that burn the key's contacts, " +
			"kill the driver and upset electronics on the same feed.",
		Relation: "a suppression in the coil, in a coil in parallel with it, or across it",
		Source:   "relay application notes; common practice",
		Level:    rules.Warning,
		Varies: "error where a transistor opens the coil's circuit, or a contact whose rating for inductive loads is below the coil's current: " +
			"it is destroyed, or welds; and where the same switched conductor feeds electronics (an enable input, a timer, an electronic load or LED lamp)",
		Vital: []string{"contactors.coil.suppression", "relays.coil.suppression"},
		Fix:   "add a diode with a zener diode, or a bidirectional suppressor, across the coil",
		Example: rules.Example{Vehicle: "badger", Subject: "pump_contactor", Edits: []rules.Edit{
			{Path: "contactors.pump_contactor.coil.suppression", Value: `"none"`},
			{Path: "contactors.pump_contactor.coil.clamp_V"}}},
		Check: checkSuppression,
	}
}

func checkSuppression(p *rules.Pass) {
	for _, d := range devices(p) {
		c, ok := onCoil(p, d)
		if !ok {
			continue
		}
		clamps := d.clamps(p)
		if d.coil.Suppression != "" {
			c.GivenText("suppression", "suppression of the coil", d.coil.Suppression, d.coilPath("suppression"))
		}
		var by []string
		for _, k := range clamps {
			by = append(by, k.String())
		}
		wrong := d.reversed(p)
		if len(clamps) == 0 && len(wrong) > 0 {
			c.Because("suppression-reversed", d.firstOf(p, wrong))
		}
		if len(clamps) == 0 {
			d.judgeOpeners(c, p)
			c.Fix("fit a suppression across the coil of %s (a diode with a zener diode in series, its cathode at the fed end, or a bidirectional suppressor)%s", d.id, d.clampText(p))
		}
		switch {
		case len(clamps) > 0:
			c.Holds(true, "coil of %s: its energy is absorbed by %s", d.id, strings.Join(by, ", "))
		case d.driven(p) && d.coil.Suppression == "external":
			c.Holds(true, "coil of %s: its energy is absorbed by its driver", d.id)
		case len(wrong) > 0:
			c.Fail("%s is reversed across the coil of %s and absorbs none of its energy", wrong[0].names(), d.id)
		case d.coil.Suppression == "external":
			c.Fail("coil of %s: its suppression is declared external, but no diode or resistor is connected across it", d.id)
		case d.coil.Suppression == "none":
			c.Fail("coil of %s: nothing absorbs its energy at switch-off", d.id)
		default:
			c.NotChecked(d.coilPath("suppression"), "coil of %s: suppression is not given", d.id)
		}
	}
}

// driven reports whether a controller's output switches the coil.
func (d device) driven(p *rules.Pass) bool {
	return slices.ContainsFunc(d.feeds(p), func(f feed) bool {
		return slices.ContainsFunc(f.path, func(e *circuit.Edge) bool {
			o, ok := openerOf(p, e)
			return ok && o.role == "driver"
		})
	})
}

// judgeOpeners raises the level where what opens the circuit of a coil is known not to
// withstand a coil that nothing clamps: the voltage rises until it breaks down.
func (d device) judgeOpeners(c *rules.Check, p *rules.Pass) {
	v, _, failed := d.highestV(p)
	if failed != nil {
		return
	}
	for _, r := range d.openingRatings(p) {
		if !r.mechanical {
			c.Related(r.path, "a transistor, which opens the circuit")
			c.Level(rules.Error)
			return
		}
		if i, missing := d.switchedOffA(p, v); missing == "" && r.inductive.Known && r.inductive.Value < i {
			c.Solved("I_coil", "current of the coil of "+d.id+" as it is switched off", i, "A", "highest voltage, coldest coil")
			c.Given("I_L", "rating of "+r.id+" for inductive loads", r.inductive.Value, "A", r.inductivePath)
			c.Related(r.inductivePath, "a contact, which opens the circuit")
			c.Level(rules.Error)
			return
		}
	}
	if id := d.electronicsBeside(p); id != "" {
		c.Related(p.Spec.Part(id).Common().Path(), "on the same switched conductor")
		c.GivenText("beside", "electronics on the conductor that the coil drives up", id, p.Spec.Part(id).Common().Path())
		c.Level(rules.Error)
	}
}

// electronicsBeside names a part whose electronics are fed by the conductor that the
// coil drives to its own voltage once its circuit has been opened; "" if there is none.
func (d device) electronicsBeside(p *rules.Pass) string {
	for _, end := range d.switchedEnds(p) {
		for _, e := range p.Circuit.Edges {
			if isElectronic(p, e) && (p.Circuit.Joined(end, e.From) || p.Circuit.Joined(end, e.To)) {
				return e.Part
			}
		}
	}
	return ""
}

// switchedEnds lists the ends of the coil that what opens its circuit cuts off from the
// source.
func (d device) switchedEnds(p *rules.Pass) (ends []circuit.Node) {
	coil := p.Circuit.Edge(d.coilID())
	for _, f := range d.feeds(p) {
		fed, at := f.fedAt(coil), f.source.Pos
		end := fed // of the coil, on this part of the feed
		for _, e := range f.path {
			if at == fed {
				end = coil.Other(fed)
				at = end
			}
			if _, opens := ratingOf(p, e); opens {
				ends = append(ends, end)
			}
			at = e.Other(at)
		}
	}
	return ends
}

// isElectronic reports whether an edge stands for electronics that a voltage of
// hundreds of volts destroys.
func isElectronic(p *rules.Pass, e *circuit.Edge) bool {
	switch e.Kind {
	case circuit.EnableEdge:
		return !p.Spec.Part(e.Part).Common().Spare
	case circuit.CoilEdge:
		t := p.Spec.Timers[e.Part]
		return t != nil && !t.Spare
	case circuit.LoadEdge:
		l := p.Spec.Loads[e.Part]
		return l != nil && !l.Spare && (l.LoadKind == "electronic" || l.LoadKind == "led")
	}
	return false
}
