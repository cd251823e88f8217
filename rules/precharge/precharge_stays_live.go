package precharge

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func prechargeStaysLive() *rules.Rule {
	return &rules.Rule{
		ID:     "precharge-stays-live",
		Family: family,
		Title:  "the pre-charge resistor keeps the controller live with the key off",
		Why: "Through a resistor that stays connected the controller's terminals keep the battery's voltage when the contactor is open, and its bleed resistor " +
			"drains the battery while the vehicle is parked. Whoever works on it trusts the key.",
		Relation: "in every mode that does not energise the contactor, and with the key off in those that do, the capacitors are at no more than policy.live_V",
		Source:   "circuit theory; a permanent pre-charge is common practice in vehicles of up to 60 V, as long as it is declared and labelled",
		Level:    rules.Warning,
		Varies:   "note where the resistor is declared permanent",
		Policy:   []string{"policy.live_V"},
		Fix:      "switch the resistor by a relay with the key, or declare it permanent: true and label the controller as live until the disconnect is open and its capacitors are discharged",
		Example: rules.Example{Vehicle: "heron", Subject: "soft", Edits: []rules.Edit{
			{Path: "wires.w_soft_fuse.to", Value: `"soft.a"`}, {Path: "wires.w_soft_relay"}}},
		Check: checkLive,
	}
}

func checkLive(p *rules.Pass) {
	for _, s := range resistors(p) {
		c, ok := onResistor(p, s)
		if ok {
			evalLive(c, p, s)
		}
	}
}

func evalLive(c *rules.Check, p *rules.Pass, s served) {
	most, across, drain, mode := 0.0, 0.0, 0.0, ""
	var at *circuit.Solution
	states := offStates(p, s.Attempt)
	if len(states) == 0 {
		c.NotChecked("a mode with the key off", "%s: no mode leaves it open and no key opens it, so that what stays live is not known", s.Contactor.ID)
		return
	}
	for _, k := range states {
		solution := p.Circuit.Solve(k)
		if solution.Failed != "" {
			c.NotChecked("a solution of mode "+k.Mode, "the circuit of mode %s could not be solved: %s", k.Mode, solution.Failed)
			return
		}
		for _, e := range s.Capacitors {
			v := math.Abs(solution.Burdened(e.From, e.To, handOhm))
			if v > most*(1+1e-3) {
				most, across, drain, mode = v, math.Abs(solution.V(e.From)-solution.V(e.To)), math.Abs(solution.Current(s.Resistor.ID)), k.Mode
				at = solution
			}
		}
	}
	live := c.Default("V_live", "voltage that counts as live", p.Spec.Policy.LiveV, "V", "policy.live_V")
	off := "with the key off (mode " + mode + ")"
	if at != nil && at.Case.Open != "" {
		off = "with the key turned off in mode " + mode
	}
	ref := "mode " + mode + ", key off, pack full"
	c.In(mode, "key off, pack full")
	c.Solved("V", "highest voltage of the capacitors with "+s.Contactor.ID+" open", across, "V", ref)
	if across <= live {
		c.Holds(true, "%s: with %s open it does not keep the capacitors charged", s.Resistor.ID, s.Contactor.ID)
		return
	}
	c.Solved("I", "current through "+s.Resistor.ID+" meanwhile", 1000*drain, "mA", ref)
	charge := c.Calc("Q", "charge drawn in a month of 30 days", "I * 720 h", rules.Term(1000*drain)+"e-3 * 720", 720*drain, "Ah")
	parts := s.liveParts(p, at, live)
	if len(parts) == 0 {
		parts = []string{s.Capacitors[0].Part}
	}
	for _, id := range parts {
		c.Related(p.Spec.Part(id).Common().Path(), "stays live through "+s.Resistor.ID)
	}
	names := strings.Join(parts, ", ")
	if s.Permanent {
		c.Level(rules.Note)
		c.Fix("label %s as live until the disconnect is open and the capacitors are discharged; measure before touching", names)
	} else {
		c.Fix("switch %s by a relay with the key, or declare it permanent: true and label %s as live until the disconnect is open and the capacitors are discharged", s.Resistor.ID, names)
	}
	current := rules.Figure(1000*drain) + " mA"
	if drain >= 1 {
		current = rules.Figure(drain) + " A"
	}
	drawn := fmt.Sprintf(", draws %s, %s Ah a month", current, rules.Figure(charge))
	const nothing = 1e-5 // A: the rounding of the solution, or the leak of a diode
	if drain < nothing {
		drawn = ""
	}
	c.Fail("%s: keeps %s at %s V %s%s", s.Resistor.ID, names, rules.Figure(across), off, drawn)
}

// liveParts lists the parts behind the open contactor, in its network, that have more
// than a voltage in V across them in a state: controllers, what else has capacitors, loads.
func (s served) liveParts(p *rules.Pass, at *circuit.Solution, volts float64) (ids []string) {
	for _, kind := range []circuit.Kind{circuit.ControllerEdge, circuit.ConverterInput, circuit.LoadEdge} {
		for _, e := range slices.Concat(s.Capacitors, s.Loads) {
			if e.Kind == kind && p.Circuit.SameNetwork(e.From, s.Contact.From) && math.Abs(at.Burdened(e.From, e.To, handOhm)) > volts {
				ids = append(ids, e.Part)
			}
		}
	}
	return ids
}

// handOhm is the resistor through which something must still drive a current to
// count as live: about what a hand, or a lamp left on, amounts to. Behind a
// pre-charge resistor it makes little difference, behind a meter all.
const handOhm = 1e5

// closesKey reports whether a mode closes a pole of a key.
func closesKey(p *rules.Pass, mode string) bool {
	return slices.ContainsFunc(p.Circuit.Mode(mode).Closed, func(id string) bool {
		name, _, _ := strings.Cut(id, ".")
		sw, ok := p.Spec.Switches[name]
		return ok && sw.Role == "key"
	})
}

// offStates lists the states with the key off: first the modes that do not
// energise the contactor, those at a charger last, then the one in which the
// vehicle is started with every pole of a key opened.
func offStates(p *rules.Pass, a charging.Attempt) []circuit.Case {
	keys := charging.KeyPoles(p)
	var off, opened []circuit.Case
	for _, mode := range p.Circuit.Modes() {
		k := demand.Full(mode)
		k.Start, k.NoDraw, k.NoChargers = circuit.FromOpen, true, true
		if !a.Energised(p, mode, "") {
			if closesKey(p, mode) {
				k.Open = keys // the contactor stays open for another reason
			}
			if len(p.Circuit.Mode(mode).Connected) > 0 {
				opened = append(opened, k)
			} else {
				off = append(off, k)
			}
			continue
		}
		if k.Open = keys; keys != "" && a.Mode == mode && !a.Energised(p, mode, keys) {
			opened = append(opened, k)
		}
	}
	return append(off, opened...)
}
