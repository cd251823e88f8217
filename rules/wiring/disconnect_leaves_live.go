package wiring

import (
	"math"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func disconnectLeavesLive() *rules.Rule {
	return &rules.Rule{
		ID:     "disconnect-leaves-live",
		Family: family,
		Title:  "a part stays live with the service disconnect open",
		Why: "Whoever opens the service disconnect expects everything behind it to be dead and puts a spanner on it. " +
			"A feed taken from the battery side, or a pre-charge resistor around the disconnect, keeps it at pack voltage. " +
			"A charging inlet is often connected on the battery side, so that the vehicle charges with the disconnect open; then its pins stay live.",
		Relation: "with every disconnect open, in every mode and with everything else closed, no part of the traction network has more than policy.live_V across it when loaded with 1 kOhm",
		Source:   "ISO 6469-3 and UN R100/R136 (service disconnect); the limit is common practice",
		Level:    rules.Error,
		Varies: "note for the inlet of a pluggable charger; warning for a consumer of more than 5 W that is declared always live, " +
			"unless it moves or heats something",
		Policy: []string{"policy.live_V"},
		Fix:    "move the feed to the load side of the disconnect, or, for a small consumer that must stay on (a battery monitor, never the main contactor or a controller), set always_live: true and label it on the vehicle: up to 5 W",
		Example: rules.Example{Vehicle: "mole", Subject: "converter", Edits: []rules.Edit{
			{Path: "busbars.b_comb_1.from", Value: `"isolator.a"`}}},
		Check: checkDisconnectLeavesLive,
	}
}

// burdenOhm is the resistor that loads a part to tell whether it is live: about
// what a hand, or a lamp left on, amounts to.
const burdenOhm = 1000

func checkDisconnectLeavesLive(p *rules.Pass) {
	var open []string
	for id := range schema.Sorted(p.Spec.Disconnects) {
		open = append(open, id, id+".2")
	}
	if len(open) == 0 {
		return
	}
	states := openStates(p.Circuit, strings.Join(open, " "))
	for id, part := range p.Spec.Parts() {
		var pairs [][2]string
		for _, pair := range supplied(part) {
			pos, neg := id+"."+pair[0], id+"."+pair[1]
			if p.Circuit.Connected(pos) && p.Circuit.Connected(neg) && tractionFed(p.Circuit, pos) {
				pairs = append(pairs, [2]string{pos, neg})
			}
		}
		if len(pairs) > 0 {
			checkLive(p, states, id, part.Common(), pairs)
		}
	}
}

// openStates lists what is tried with the disconnect open. Everything closed
// alone is not enough: what is then switched on may pull down the very feed
// that is searched for.
func openStates(n *circuit.Network, open string) []circuit.Case {
	base := demand.Bare("")
	base.Open = open
	var states []circuit.Case
	add := func(k circuit.Case) { states = append(states, k) }
	closed := base
	closed.AllClosed = true
	add(closed)
	for _, mode := range append([]string{""}, n.States()...) {
		for _, start := range []circuit.Start{circuit.FromOpen, circuit.FromClosed} {
			k := base
			k.Mode, k.Start = mode, start
			add(k)
		}
	}
	return states
}

// checkLive looks for a voltage between pairs of terminals of a part.
func checkLive(p *rules.Pass, states []circuit.Case, id string, part *schema.Base, pairs [][2]string) {
	c := p.Subject(id, part.Path())
	for _, pair := range pairs {
		if p.Unsound(c, pair[0], pair[1]) {
			return
		}
	}
	a, _ := p.Circuit.Node(pairs[0][0])
	worst, mode := 0.0, ""
	var at *circuit.Solution
	var ends [2]circuit.Node
	for _, k := range states {
		s := p.Circuit.Solve(k)
		if s.Failed != "" {
			c.NotChecked("a solution of the circuit", "the circuit with the disconnect open could not be solved: %s", s.Failed)
			return
		}
		for _, pair := range pairs {
			pos, _ := p.Circuit.Node(pair[0])
			neg, _ := p.Circuit.Node(pair[1])
			if v := math.Abs(s.Burdened(pos, neg, burdenOhm)); v > worst {
				worst, mode, at, ends = v, k.Mode, s, [2]circuit.Node{pos, neg}
			}
		}
	}
	c.Solved("V", "highest voltage across "+id+", loaded with 1 kOhm", worst, "V", "every disconnect open, pack full; every mode, and everything closed")
	limit := c.Default("V_live", "voltage above which it counts as live", p.Spec.Policy.LiveV, "V", "policy.live_V")
	switch {
	case worst <= limit:
		c.Holds(true, "%s is dead with the disconnect open", id)
	case part.AlwaysLive && mayStayLive(p, id):
		evalAlwaysLive(c, p, id, part, worst)
	case isInlet(p, id):
		c.Level(rules.Note).In(mode, "disconnect open").
			Fix("use an inlet with touch-proof pins and label it, or connect the charger on the load side of the disconnect").
			Fail("%s: the pins of its inlet stay at %s V with every disconnect open, limit %s V", id, rules.Figure(worst), rules.Figure(limit))
	default:
		// Where nothing separates the battery, that is the finding.
		for _, list := range p.Circuit.Strings() {
			if p.Circuit.SameNetwork(a, list.Pos()) {
				c.Because("disconnect-missing", list[0].ID)
				break
			}
		}
		past := passing(p, at, ends[0], ends[1])
		for _, x := range past {
			c.Related(pathOf(p.Spec, x), "bypasses the disconnect")
		}
		c.In(mode, "disconnect open").Fail("%s stays live: %s V with every disconnect open, limit %s V%s", id, rules.Figure(worst), rules.Figure(limit), through(past))
	}
}

// mayStayLive reports whether a part may be declared live with the disconnect open:
// a small consumer, but nothing that sets the vehicle going.
func mayStayLive(p *rules.Pass, id string) bool {
	switch p.Spec.Part(id).(type) {
	case *schema.Contactor, *schema.Controller:
		return false
	}
	return true
}

// isInlet reports whether a part is a charger on a connector: what the vehicle
// carries of it is the inlet.
func isInlet(p *rules.Pass, id string) bool {
	charger, ok := p.Spec.Chargers[id]
	return ok && charger.Pluggable
}

// tractionFed reports whether a terminal belongs to the network of a traction battery.
func tractionFed(n *circuit.Network, terminal string) bool {
	v, ok := n.Node(terminal)
	if !ok {
		return false
	}
	for id, b := range schema.Sorted(n.Spec.Batteries) {
		if b.Role == "traction" && n.SameNetwork(v, n.Edge(id).From) {
			return true
		}
	}
	return false
}

// supplied lists the pairs of terminals through which a part is supplied.
func supplied(part schema.Part) [][2]string {
	switch part.(type) {
	case *schema.Converter:
		return [][2]string{{"in_pos", "in_neg"}, {"enable", "in_neg"}}
	case *schema.Controller: // its logic is supplied at enable
		return [][2]string{{"pos", "neg"}, {"enable", "neg"}}
	case *schema.Load, *schema.Meter, *schema.Charger, *schema.Timer:
		return [][2]string{{"pos", "neg"}}
	case *schema.Contactor, *schema.Relay:
		return [][2]string{{"coil_pos", "coil_neg"}}
	}
	return nil
}

// alwaysLiveW is the power in W that may stay connected with the disconnect open: that
// of a battery monitor, a clock or an alarm (common practice).
const alwaysLiveW = 5

// evalAlwaysLive judges a part that is declared always live by what it is: the word
// does not make a pump safe to work on.
func evalAlwaysLive(c *rules.Check, p *rules.Pass, id string, part *schema.Base, volts float64) {
	watts, acts := standing(p, id)
	if watts <= alwaysLiveW {
		c.Level(rules.Note).AsDeclared(part.Path()+".always_live", id+" is deliberately live with the disconnect open").
			Holds(true, "%s stays at %s V with the disconnect open, as declared by always_live", id, rules.Figure(volts))
		return
	}
	c.In("", "disconnect open")
	c.Default("P_max", "power that may stay connected with the disconnect open", alwaysLiveW, "W", "common practice")
	if acts == "" {
		c.Level(rules.Warning)
		acts = "takes or gives"
	}
	c.Fix("move its feed to the load side of the disconnect")
	c.Fail("%s stays live at %s V with every disconnect open: it is declared always_live, and %s %s W, limit %d W", id, rules.Figure(volts), acts, rules.Figure(watts), alwaysLiveW)
}

// standing is the power in W that a part takes, or passes on, when it is live, and
// what it does with it that endangers whoever works on the vehicle, "" for nothing.
func standing(p *rules.Pass, id string) (watts float64, acts string) {
	switch part := p.Spec.Part(id).(type) {
	case *schema.Load:
		return part.PowerW, actsOn(part)
	case *schema.Converter:
		watts = part.Output.NominalV * part.Output.ContinuousA
		for _, l := range schema.Sorted(p.Spec.Loads) {
			out, in := p.Circuit.Edge(id+".out"), p.Circuit.Edge(l.ID)
			if does := actsOn(l); does != "" && out != nil && in != nil && l.PowerW > alwaysLiveW && !l.Spare && p.Circuit.SameNetwork(out.From, in.From) {
				return watts, "feeds " + l.ID + ", which " + does + " its part of"
			}
		}
		return watts, ""
	case *schema.Relay:
		if part.Coil.ResistanceOhm.Known {
			return part.Coil.NominalV * part.Coil.NominalV / part.Coil.ResistanceOhm.Value, ""
		}
	}
	return 0, ""
}

// actsOn says what a consumer does to whoever has a hand in it, "" for nothing.
func actsOn(l *schema.Load) string {
	switch {
	case l.LoadKind == "motor":
		return "moves something with"
	case l.LoadKind == "resistive" || l.LoadKind == "filament":
		return "heats something with"
	}
	return ""
}
