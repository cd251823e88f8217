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
		Title:  "the insulation between two poles of one switch is too weak for the voltage between them",
		Why: "One switch operates the 12 V house circuit and the pack's voltage side by side. Where the insulation between the poles breaks down, " +
			"the house network, and with it the metalwork, is at the potential of the pack; where both share a negative, the pack feeds the lamps past their fuse.",
		Relation: "between_poles_V, the rated insulation voltage, >= U, the voltage between two poles at worst: the sum of their highest working voltages in separate networks, the higher of them in one. " +
			"It need be given only for separate networks of which one is above 60 V (in one network each pole's own rating covers it); where only the test voltage is given there, between_poles_test_V >= 2 U + 1000 V",
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

// pair is two poles, the highest voltage of each, and whether they are in one network.
type pair struct {
	a, b      pole
	aV, bV    float64
	together  bool
	uncertain error
}

// betweenV is the voltage in V between the poles at worst. Separate networks float
// against each other, and the first fault ties them by any two of their poles; in one
// network the open side of the lower pole is at the common pole, through what it feeds.
func (k *pair) betweenV() float64 {
	if k.together {
		return max(k.aV, k.bV)
	}
	return k.aV + k.bV
}

// isolates reports whether the insulation between the poles parts networks of which
// one is dangerous to touch, so that its rating must be known.
func (k *pair) isolates() bool { return !k.together && max(k.aV, k.bV) > calc.ClassALimitV }

// graver compares two pairs: what parts dangerous networks first, then by voltage.
func (k *pair) graver(other *pair) bool {
	if k.isolates() != other.isolates() {
		return k.isolates()
	}
	return k.betweenV() > other.betweenV()
}

func evalPolesVoltage(c *rules.Check, p *rules.Pass, sw *schema.Switch, list []pole) {
	var worst *pair
	for i, a := range list {
		for _, b := range list[i+1:] {
			if k := newPair(c, p, a, b); worst == nil || k.graver(worst) {
				worst = &k
			}
		}
	}
	switch {
	case demand.VoltageUnknown(c, worst.uncertain, !worst.exceeds(sw), "between "+worst.a.id+" and "+worst.b.id):
	case sw.BetweenPolesV.Known:
		worst.evalRated(c, p, sw)
	case worst.together:
		c.Holds(true, "%s: its poles are in one network, the insulation between them is that of each pole", sw.ID)
	case !worst.isolates():
		c.Holds(true, "%s and %s are in separate networks, both of voltage class A", worst.a.id, worst.b.id)
	case sw.BetweenTestV.Known:
		evalBetweenTest(c, sw, *worst)
	default:
		c.NotChecked(sw.Path()+".between_poles_V", "%s and %s are in separate networks of %s V and %s V, the rating of the insulation between them is not given", worst.a.id, worst.b.id, rules.Figure(worst.aV), rules.Figure(worst.bV))
	}
}

// evalRated holds two poles against the rated insulation voltage between them.
func (k *pair) evalRated(c *rules.Check, p *rules.Pass, sw *schema.Switch) {
	between := k.explain(c)
	limit := c.Given("V_i", "rated insulation voltage between the poles", sw.BetweenPolesV.Value, "V", sw.Path()+".between_poles_V")
	c.Fix("use a switch with between_poles_V of at least %s, or a relay for one of the two circuits", rules.Figure(rules.RoundUp(p.Required()*between, 1)))
	c.AtMost(rules.Volts(between), rules.Volts(limit), "%s and %s: up to %s V between them, the insulation between the poles is rated %s V",
		k.a.id, k.b.id, rules.Figure(between), rules.Figure(limit))
}

// explain adds the voltage between the poles to the working.
func (k *pair) explain(c *rules.Check) float64 {
	formula, numbers := "V_a + V_b", rules.Term(k.aV)+" + "+rules.Term(k.bV)
	if k.together {
		formula, numbers = "max(V_a, V_b)", "max("+rules.Term(k.aV)+", "+rules.Term(k.bV)+")"
	}
	return c.Calc("V_ab", "voltage between "+k.a.id+" and "+k.b.id+" at worst", formula, numbers, k.betweenV(), "V")
}

// newPair finds the highest voltages of two poles and adds their steps.
func newPair(c *rules.Check, p *rules.Pass, a, b pole) pair {
	k := pair{a: a, b: b, together: p.Circuit.SameNetwork(a.edge.From, b.edge.From)}
	var errA, errB error
	k.aV, _, errA = demand.SwitchedV(p, c.Working, a.set())
	k.bV, _, errB = demand.SwitchedV(p, c.Working, b.set())
	k.uncertain = errors.Join(errA, errB)
	return k
}

// exceeds reports whether the voltage is above what the insulation between the poles
// of a switch is known to be made for.
func (k *pair) exceeds(sw *schema.Switch) bool {
	if sw.BetweenPolesV.Known {
		return k.betweenV() > sw.BetweenPolesV.Value
	}
	test, err := calc.BasicTestVoltage(k.betweenV())
	return err == nil && k.isolates() && sw.BetweenTestV.Known && test.Value > sw.BetweenTestV.Value
}

// evalBetweenTest holds two poles against a test voltage, where none is rated.
func evalBetweenTest(c *rules.Check, sw *schema.Switch, worst pair) {
	sum := worst.explain(c)
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
