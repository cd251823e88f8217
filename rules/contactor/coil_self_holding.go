package contactor

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func coilSelfHolding() *rules.Rule {
	return &rules.Rule{
		ID:     "coil-self-holding",
		Family: family,
		Title:  "a contactor stays in when it is switched off",
		Why: "A closed contactor needs a tenth of its voltage to stay in. A pilot lamp across the key, a pre-charge resistor, " +
			"a diode or a second feed supplies that: the key comes out, and the drive stays live.",
		Relation: "from closed, with each switch of the coil's path opened in turn, V_coil <= V_release (1 + 0.00393 (T_min - 20)) / 1.25, the supply being full, the coil cold, and logic inputs in parallel drawing nothing",
		Source:   "circuit theory; fixed ampere-turns with the resistance of copper of IEC 60028",
		Level:    rules.Error,
		Required: selfHoldingMargin,
		Vital:    []string{"contactors.coil.release_V", "relays.coil.release_V"},
		Fix:      "remove the second feed from the coil's side of the switch, or block it with a diode",
		Example: rules.Example{Vehicle: "mole", Subject: "main_contactor", Edits: []rules.Edit{
			// A resistor for a pilot light across the key.
			{Path: "resistors.pilot", Value: `{"role": "load", "resistance_Ohm": 560}`},
			{Path: "wires.pilot_in", Value: `{"from": "key.drive_a", "to": "pilot.a", "size": "1.5 mm2", "length_m": 0.1}`},
			{Path: "wires.pilot_out", Value: `{"from": "pilot.b", "to": "key.drive_b", "size": "1.5 mm2", "length_m": 0.1}`}}},
		Check: checkSelfHolding,
	}
}

func checkSelfHolding(p *rules.Pass) {
	for _, d := range devices(p) {
		if c, ok := onCoil(p, d); ok {
			evalSelfHolding(c, p, d)
		}
	}
}

// held is the voltage of a coil in a state in which it is meant to release.
type held struct {
	opened string // the switch that was opened; "" where the mode itself does
	at     circuit.Case
	state  *circuit.Solution // nil where there is no voltage
	v      float64
	path   []*circuit.Edge
}

func evalSelfHolding(c *rules.Check, p *rules.Pass, d device) {
	feeds := d.feeds(p)
	openers := d.openers(p, feeds)
	if len(openers) == 0 {
		c.NotChecked("a switch in the feed of "+d.id, "coil of %s: no mode feeds it through a switch", d.id)
		return
	}
	worst, failed := d.worstHeld(p, feeds, openers)
	if failed != nil {
		c.Unsettled(failed, d.coilID())
		return
	}
	c.In(worst.at.Mode, worst.at.String())
	c.Solved("V_c", "voltage at the closed coil of "+d.id+" with "+worst.action(), worst.v, "V", worst.at.String())
	switch {
	case !d.coil.ReleaseV.Known && worst.v < nothing*d.coil.NominalV:
		c.Holds(true, "coil of %s: next to no voltage with %s, it releases", d.id, worst.action())
		return
	case !d.coil.ReleaseV.Known:
		c.NotChecked(d.coilPath("release_V"), "coil of %s: still %s V with %s, its release voltage is not given", d.id, rules.Figure(worst.v), worst.action())
		return
	}
	release := releaseSteps(c, p, d)
	by := ""
	if len(worst.path) > 0 {
		odd := detour(worst.path, feeds)
		by = ", fed through " + partNames(odd)
		c.GivenText("path", "what the coil is fed through", names(worst.path), d.base.Path())
		relateFeeds(c, p, odd)
		worst.fix(c, p, d, odd)
	}
	if id := d.heldWith(p, worst); id != "" {
		c.Because("coil-self-holding", id)
	}
	c.Below(rules.Volts(worst.v), rules.Volts(release), "coil of %s: %s V with %s%s, cold release voltage %s V",
		d.id, rules.Figure(worst.v), worst.action(), by, rules.Figure(release))
}

// relateFeeds adds the places of what feeds a coil past its switch: of the parts, or
// of a conductor where it is of conductors alone.
func relateFeeds(c *rules.Check, p *rules.Pass, odd []*circuit.Edge) {
	parts := slices.DeleteFunc(slices.Clone(odd), (*circuit.Edge).IsConductor)
	if len(parts) == 0 {
		parts = odd[:1]
	}
	seen := map[string]bool{}
	for _, e := range parts {
		if path := pathOf(p, e); !seen[path] {
			seen[path] = true
			c.Related(path, "in the path that feeds the coil")
		}
	}
}

// fix says what to do about what feeds the coil past its switch, by what that goes through.
func (h held) fix(c *rules.Check, p *rules.Pass, d device, odd []*circuit.Edge) {
	what := "the switch"
	if h.opened != "" {
		what = h.opened
	}
	for _, e := range odd {
		switch e.Kind {
		case circuit.LoadEdge, circuit.ResistorEdge, circuit.MeterEdge:
			c.Fix("connect %[1]s from the load side of %[2]s to the return, or feed it by a pole of its own, so that it is not across %[2]s when that is open", e.Part, what)
			return
		case circuit.DiodeEdge:
			c.Fix("remove %s, or turn it around so that it blocks towards the coil's side of %s", e.Part, what)
			return
		case circuit.ContactEdge:
			if e.Part == d.id {
				c.Fix("remove the conductor from behind the contact of %s to its own coil, or put it behind %s", d.id, what)
				return
			}
		}
	}
	c.Fix("remove the second feed through %s from the coil's side of %s, or block it with a diode towards the coil", partNames(odd), what)
}

// heldWith names an earlier device that the same state holds by its coil in
// parallel.
func (d device) heldWith(p *rules.Pass, h held) string {
	pos, neg := d.sides(p)
	for _, other := range devices(p) {
		coil := p.Circuit.Edge(other.id + ".coil")
		switch {
		case other.id == d.id:
			return ""
		case across(p, coil, pos, neg) && (h.v == 0 || other.coilV(h.state) >= h.v*(1-1e-2)) && other.coil.ReleaseV.Known:
			return other.id
		}
	}
	return ""
}

// staysIn reports whether a device is known to stay in when it is switched off.
func (d device) staysIn(p *rules.Pass) bool {
	feeds := d.feeds(p)
	openers := d.openers(p, feeds)
	release, known := circuit.ReleaseV(d.coil, p.Circuit.CoilTemperature(d.id, circuit.CoilCold))
	if len(openers) == 0 || !known {
		return false
	}
	worst, failed := d.worstHeld(p, feeds, openers)
	return failed == nil && worst.v*selfHoldingMargin > release
}

// selfHoldingMargin is how far below its release voltage a coil that is
// switched off has to be.
const selfHoldingMargin = 1.25

// nothing is the share of its nominal voltage at which no coil stays in.
const nothing = 0.01

func (h held) action() string {
	if h.opened == "" {
		return "the switches as in mode " + h.at.Mode
	}
	return h.opened + " open in mode " + h.at.Mode
}

// worstHeld finds the state in which a coil keeps most of its voltage though it
// is meant to release: in each mode that energises it each switch of its feed
// opened in turn, and each mode that opens one of them by itself.
func (d device) worstHeld(p *rules.Pass, feeds []feed, openers []opener) (worst held, failed *circuit.Solution) {
	known, ok := d.in[d.id]
	if !ok {
		known.worst, known.failed = d.findHeld(p, feeds, openers)
		d.in[d.id] = known
	}
	return known.worst, known.failed
}

// heldOrNot is what worstHeld finds.
type heldOrNot struct {
	worst  held
	failed *circuit.Solution
}

func (d device) findHeld(p *rules.Pass, feeds []feed, openers []opener) (worst held, failed *circuit.Solution) {
	worst.v = -1
	for _, t := range d.releases(p, feeds, openers) {
		for _, k := range demand.HighVoltage(p, t.mode) {
			k.Open, k.Closed, k.NoDraw, k.NoInputs, k.Coil = t.opener.open(), d.ownContacts(), true, true, circuit.CoilCold
			if p.Circuit.Dead(d.coilID(), k) {
				if worst.v < 0 {
					worst = held{opened: t.opener.part, at: k}
				}
				continue
			}
			s := p.Circuit.SolveApart(k)
			if !s.Settled(d.coilID()) {
				return held{}, s
			}
			h := held{opened: t.opener.part, at: k, state: s, v: d.coilV(s)}
			if h.v < 1e-6 {
				h.v = 0 // rounding
			}
			if h.v <= worst.v {
				continue
			}
			if h.v >= nothing*d.coil.NominalV {
				h.path = d.suppliers(p, s)
				if !t.cutsOff && !isSneak(p, h.path) {
					h.v, h.path = 0, nil // a second switch holds it, as it may
				}
			}
			if h.v > worst.v {
				worst = h
			}
		}
	}
	return worst, nil
}

// release is a state in which a device is meant to release.
type release struct {
	mode    string
	opener  opener
	cutsOff bool // by a switch that nothing may hold against
}

func (d device) releases(p *rules.Pass, feeds []feed, openers []opener) []release {
	var out []release
	energised := map[string]bool{}
	for _, f := range feeds {
		energised[f.mode] = true
		for _, o := range openers {
			out = append(out, release{f.mode, o, o.cutsOff()})
		}
	}
	for mode, m := range schema.Sorted(p.Spec.Modes) {
		if energised[mode] {
			continue
		}
		isOff := func(o opener) bool { return !closes(m, o) }
		if slices.ContainsFunc(openers, isOff) {
			off := slices.ContainsFunc(openers, func(o opener) bool { return o.cutsOff() && isOff(o) })
			out = append(out, release{mode: mode, cutsOff: off})
		}
	}
	return out
}

// closes reports whether a mode closes an opener, or one of its poles.
func closes(m *schema.Mode, o opener) bool {
	return slices.ContainsFunc(m.Closed, func(id string) bool {
		return id == o.part && o.role != "driver" || slices.Contains(o.edges, id)
	})
}
