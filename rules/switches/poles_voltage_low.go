package switches

import (
	"errors"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func polesVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "poles-voltage-low",
		Family: family,
		Title:  "two poles of one switch are in networks that its insulation does not separate",
		Why: "One switch operates the 12 V house circuit and the pack's voltage side by side. Where the insulation between the poles breaks down, " +
			"the house network, and with it the metalwork, is at the potential of the pack.",
		Relation: "for poles of two separate networks of which one is above 60 V: between_poles_V, the rated insulation voltage, >= U, the sum of their highest working voltages, " +
			"which is the voltage between them at worst; where only the test voltage is given, between_poles_test_V >= 2 U + 1000 V",
		Source:   "IEC 60664-1 (insulation between circuits); the sum is circuit theory; ISO 6469-3 for the 60 V and, from memory, the form of the test voltage",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"switches.between_poles_V"},
		Fix:      "use a switch with better insulation between its poles, or a relay for one of the two circuits",
		Example: rules.Example{Vehicle: "heron", Subject: "key", Edits: []rules.Edit{
			{Path: "switches.key.between_poles_V", Value: "60"}}},
		Check: checkPolesVoltage,
	}
}

func checkPolesVoltage(p *rules.Pass) {
	for id, sw := range schema.Sorted(p.Spec.Switches) {
		list := polesOf(p, id, sw)
		if sw.Spare || len(list) < 2 {
			continue
		}
		c := p.Subject(id, sw.Path())
		sound := true
		for _, k := range list {
			sound = sound && !k.set().Unsound(p, c)
			if !sound {
				break
			}
		}
		if sound {
			evalPolesVoltage(c, p, sw, list)
		}
	}
}

// pair is two poles of separate networks and the highest voltage of each.
type pair struct {
	a, b      pole
	aV, bV    float64
	uncertain error
}

func evalPolesVoltage(c *rules.Check, p *rules.Pass, sw *schema.Switch, list []pole) {
	var worst *pair
	for i, a := range list {
		for _, b := range list[i+1:] {
			if p.Circuit.SameNetwork(a.edge.From, b.edge.From) {
				continue
			}
			k := newPair(c, p, a, b)
			if worst == nil || k.aV+k.bV > worst.aV+worst.bV {
				worst = &k
			}
		}
	}
	if worst == nil {
		c.Holds(true, "%s: its poles are in one network", sw.ID)
		return
	}
	sum := worst.aV + worst.bV
	switch {
	case demand.VoltageUnknown(c, worst.uncertain, !betweenExceeded(sw, sum), "between "+worst.a.id+" and "+worst.b.id):
	case max(worst.aV, worst.bV) <= calc.ClassALimitV:
		c.Holds(true, "%s and %s are in separate networks, both of voltage class A", worst.a.id, worst.b.id)
	case !sw.BetweenPolesV.Known && sw.BetweenTestV.Known:
		evalBetweenTest(c, sw, *worst)
	case !sw.BetweenPolesV.Known:
		c.NotChecked(sw.Path()+".between_poles_V", "%s and %s are in separate networks of %s V and %s V, the rating of the insulation between them is not given", worst.a.id, worst.b.id, rules.Figure(worst.aV), rules.Figure(worst.bV))
	default:
		c.Calc("V_ab", "voltage between "+worst.a.id+" and "+worst.b.id+" at worst", "V_a + V_b", rules.Term(worst.aV)+" + "+rules.Term(worst.bV), sum, "V")
		limit := c.Given("V_i", "rated insulation voltage between the poles", sw.BetweenPolesV.Value, "V", sw.Path()+".between_poles_V")
		c.Fix("use a switch with between_poles_V of at least %s, or a relay for one of the two circuits", rules.Figure(rules.RoundUp(p.Required()*sum, 1)))
		c.AtMost(rules.Volts(sum), rules.Volts(limit), "%s and %s: up to %s V between them, the insulation between the poles is rated %s V",
			worst.a.id, worst.b.id, rules.Figure(sum), rules.Figure(limit))
	}
}

// newPair finds the highest voltages of two poles and adds their steps.
func newPair(c *rules.Check, p *rules.Pass, a, b pole) pair {
	k := pair{a: a, b: b}
	var errA, errB error
	k.aV, _, errA = demand.SwitchedV(p, c.Working, a.set())
	k.bV, _, errB = demand.SwitchedV(p, c.Working, b.set())
	k.uncertain = errors.Join(errA, errB)
	return k
}

// betweenExceeded reports whether a voltage is above what the insulation between the
// poles of a switch is known to be made for.
func betweenExceeded(sw *schema.Switch, v float64) bool {
	if sw.BetweenPolesV.Known {
		return v > sw.BetweenPolesV.Value
	}
	test, err := calc.BasicTestVoltage(v)
	return err == nil && sw.BetweenTestV.Known && test.Value > sw.BetweenTestV.Value
}

// evalBetweenTest holds two poles against a test voltage, where none is rated.
func evalBetweenTest(c *rules.Check, sw *schema.Switch, worst pair) {
	sum := c.Calc("V_ab", "voltage between "+worst.a.id+" and "+worst.b.id+" at worst", "V_a + V_b", rules.Term(worst.aV)+" + "+rules.Term(worst.bV), worst.aV+worst.bV, "V")
	test, err := calc.BasicTestVoltage(sum)
	if err != nil {
		c.NotChecked(sw.Path(), "the test voltage between the poles of %s cannot be computed: %v", sw.ID, err)
		return
	}
	need := c.Line("V_need", "test voltage of basic insulation between networks, ISO 6469-3, from memory", test)
	limit := c.Given("V_t", "test voltage between the poles", sw.BetweenTestV.Value, "V", sw.Path()+".between_poles_test_V")
	c.Fix("use a switch with between_poles_test_V of at least %s, or a relay for one of the two circuits", rules.Figure(rules.RoundUp(need, 10)))
	c.AtMost(rules.Volts(need), rules.Volts(limit), "%s and %s: up to %s V between them need a test voltage of %s V, tested with %s V",
		worst.a.id, worst.b.id, rules.Figure(sum), rules.Figure(need), rules.Figure(limit))
}
