package converter

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func batteryFlatWhenParked() *rules.Rule {
	return &rules.Rule{
		ID:     "battery-flat-when-parked",
		Family: family,
		Title:  "the battery of a parked vehicle goes flat too soon",
		Why: "Converter, instruments and controller logic draw some milliamperes for as long as they are connected. Over a winter that empties " +
			"a small battery, and a deeply discharged lithium pack must not be charged again.",
		Relation: "capacity_Ah / (24 * standing current) >= policy.standby_days, in the modes in which nothing but an emergency stop, and circuit breakers that every mode closes, is closed or, where there is none, in those without the key; self-discharge of the battery is not included",
		Source:   "charge balance; common practice",
		Level:    rules.Warning,
		Varies:   "error where it is flat within two days",
		Required: 1,
		Policy:   []string{"policy.standby_days"},
		Fix:      "wire what draws current behind the disconnect or the key, or lower policy.standby_days and say so in the handbook",
		Example: rules.Example{Vehicle: "heron", Subject: "aux", Edits: []rules.Edit{
			{Path: "wires.w_display_pos.from", Value: `"coil_fuse.b"`},
			{Path: "wires.w_display_neg.to", Value: `"returns_a.stud"`},
			{Path: "modes.stored.on", Value: `["display"]`}}},
		Check: checkParked,
	}
}

func checkParked(p *rules.Pass) {
	for id, b := range schema.Sorted(p.Spec.Batteries) {
		if b.Spare || !p.Circuit.Connected(id+".pos") {
			continue
		}
		c := p.Subject(id, b.Path())
		if p.Unsound(c, id+".pos") {
			continue
		}
		checkStanding(c, p, b)
	}
}

// overnightDays is how long a vehicle is parked every weekend: whose battery is flat by then
// strands its driver.
const overnightDays = 2

// parkedModes lists the modes in which the vehicle is parked for weeks: those in
// which nothing is closed by hand, driven or charged. Where a specification has
// none, those in which its key is open count, since the vehicle is then parked
// with its disconnect closed; without such a mode, everything open.
func parkedModes(p *rules.Pass) []string {
	left := resting(p, func(s *schema.Switch) bool { return s != nil && s.Role == "emergency-stop" })
	if left == nil {
		left = resting(p, func(s *schema.Switch) bool { return s == nil || s.Role == "emergency-stop" })
	}
	if left == nil {
		left = []string{""}
	}
	return left
}

// resting lists the modes without draw, charger or end, in which nothing is
// closed but what may be: a switch, or nil for a disconnect or an output. An
// emergency stop is closed until someone strikes it, and a circuit breaker that
// every mode closes is left alone as a fuse is.
func resting(p *rules.Pass, may func(*schema.Switch) bool) []string {
	var out []string
	for id, m := range schema.Sorted(p.Spec.Modes) {
		more := slices.ContainsFunc(m.Closed, func(closed string) bool {
			part, _, _ := strings.Cut(closed, ".")
			return !may(p.Spec.Switches[part]) && !leftAlone(p, part)
		})
		if !more && len(m.Draw) == 0 && len(m.Connected) == 0 && !m.LastsS.Known {
			out = append(out, id)
		}
	}
	return out
}

// leftAlone reports whether a part is a circuit breaker that every mode closes.
func leftAlone(p *rules.Pass, part string) bool {
	if p.Spec.Breakers[part] == nil {
		return false
	}
	for _, m := range schema.Sorted(p.Spec.Modes) {
		if !slices.Contains(m.Closed, part) {
			return false
		}
	}
	return true
}

// drain is the current of a battery in a parked state.
type drain struct {
	state     circuit.Case
	a         float64
	consumers string // what draws it
	missing   string // path of a standing current that is not given
}

func checkStanding(c *rules.Check, p *rules.Pass, b *schema.Battery) {
	var worst drain
	for i, mode := range parkedModes(p) {
		d, err := drainOf(p, b, mode)
		if err != nil && unsettled(c, err) {
			return
		}
		if i == 0 || d.a > worst.a || worst.missing == "" && d.missing != "" && d.a == worst.a {
			worst = d
		}
	}
	c.In(worst.state.Mode, worst.state.String())
	current := worst.a
	if current > 0 {
		c.Solved("I", "standing current of "+b.ID+worst.through(" through %s"), current, "A", inMode(worst.state))
	}
	need := c.Default("t_need", "days that it must last parked", p.Spec.Policy.StandbyDays, "d", "policy.standby_days")
	switch {
	case current > 0 && !b.CapacityAh.Known:
		c.NotChecked(b.Path()+".capacity_Ah", "%s: %s parked; how long it lasts depends on its capacity", b.ID, amperes(current))
		return
	case current > 0:
	case worst.missing != "":
		c.NotChecked(worst.missing, "%s: one of its standing currents is not known", b.ID)
		return
	default:
		c.Holds(true, "nothing draws current from %s while the vehicle is parked", b.ID)
		return
	}
	capacity := c.Given("Q", "capacity of "+b.ID, b.CapacityAh.Value, "Ah", b.Path()+".capacity_Ah")
	days := c.Calc("t", "days until it is flat", "Q / (24 I)", fmt.Sprintf("%s / (24 * %s)", rules.Term(capacity), rules.Term(current)), capacity/(24*current), "d")
	if days >= need && worst.missing != "" {
		c.NotChecked(worst.missing, "%s: lasts %s parked by the known standing currents, but not all are known", b.ID, span(days))
		return
	}
	if days < need*p.Required() {
		c.Fix("wire %s behind the disconnect or the key, so that at most %s are left (%s Ah over %s), or lower policy.standby_days and say so in the handbook",
			cmp.Or(worst.through("%s"), "what draws current"), amperes(rules.RoundDown(capacity/(24*need*p.Required()), 0.0001)), rules.Figure(capacity), span(need))
	}
	if days < overnightDays {
		c.Level(rules.Error)
	}
	c.AtLeast(rules.Quantity{Value: need, Unit: "d"}, rules.Quantity{Value: days, Unit: "d"},
		"%s: flat after %s parked at %s%s, must last %s", b.ID, span(days), amperes(current), worst.through(" (%s)"), span(need))
}

// through names what draws the current, "" where nothing is known to.
func (d drain) through(format string) string {
	if d.consumers == "" {
		return ""
	}
	return fmt.Sprintf(format, d.consumers)
}

// amperes writes a standing current in the unit that a meter would show.
func amperes(a float64) string {
	if a < 1 {
		return rules.Figure(1000*a) + " mA"
	}
	return rules.Figure(a) + " A"
}

// span writes a time given in days, in hours where it is less than one.
func span(days float64) string {
	if days < 1 {
		return rules.Figure(24*days) + " h"
	}
	return rules.Figure(days) + " days"
}

// drainOf is the current of a battery in a state.
func drainOf(p *rules.Pass, b *schema.Battery, mode string) (drain, error) {
	state := demand.Nominal(mode)
	s := p.Circuit.Solve(state)
	if b.Role == "auxiliary" && len(s.ConvertersOn) == 0 {
		state = demand.Alone(mode)
		s = p.Circuit.Solve(state)
	}
	if err := settled(s, b.ID); err != nil {
		return drain{}, err
	}
	d := drain{state: state}
	if given := -s.Current(b.ID); given > least {
		d.a, d.consumers = given, strings.Join(drawers(p.Circuit, s, b), ", ")
	}
	r := ofBatteryPoles(p.Circuit, s, b.ID)
	d.missing = unknownStandby(p, r)
	return d, nil
}

// least is the least current that counts, in A: less is the input of meters.
const least = 1e-4

// unknownStandby is the path of a standing current of a converter that the
// battery feeds and the spec does not give.
func unknownStandby(p *rules.Pass, r *reach) string {
	for id, v := range schema.Sorted(p.Spec.Converters) {
		if v.Spare || !r.feeds(p.Circuit.Edge(id+".in"), fedV) {
			continue
		}
		if !runs(r.state, id) {
			if !v.Input.OffMA.Known {
				return v.Path() + ".input.off_mA"
			}
			continue
		}
		if !v.Input.StandbyMA.Known {
			return v.Path() + ".input.standby_mA"
		}
	}
	return ""
}

// ofBatteryPoles is what the poles of a battery reach, or of the string that it
// is part of.
func ofBatteryPoles(n *circuit.Network, s *circuit.Solution, id string) *reach {
	for _, source := range n.Sources() {
		if source.ID == id && source.IsBattery() {
			list := n.StringOf(source)
			return newReach(n, s, list.Pos(), list.Neg(), "")
		}
	}
	e := n.Edge(id)
	return newReach(n, s, e.From, e.To, "")
}

// drawers names the elements through which a battery's standing current flows.
func drawers(n *circuit.Network, s *circuit.Solution, b *schema.Battery) []string {
	battery := n.Edge(b.ID)
	var out []string
	for _, e := range n.Edges {
		switch e.Kind {
		case circuit.LoadEdge, circuit.CoilEdge, circuit.MeterEdge, circuit.EnableEdge, circuit.ConverterInput, circuit.ResistorEdge, circuit.ControllerEdge:
			if current(s, e) > least && n.SameNetwork(battery.From, e.From) && !slices.Contains(out, e.Part) {
				out = append(out, e.Part)
			}
		}
	}
	return out
}
