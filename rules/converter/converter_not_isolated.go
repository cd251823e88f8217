package converter

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

func notIsolated() *rules.Rule {
	return &rules.Rule{
		ID:     "converter-not-isolated",
		Family: family,
		Title:  "the converter does not isolate the house network from the pack",
		Why: "Above 60 V the pack must not be connected to the network that people touch. Through a converter without isolation, or with " +
			"one that breaks down, one fault puts the pack's voltage on lamps, switches and the vehicle's metalwork.",
		Relation: "highest working voltage U > 60 V DC: isolated, and isolation_working_V >= U; where only a test voltage is stated, isolation_V >= 2 U + 1000 V, the test of basic insulation",
		Source: "ISO 6469-3 (voltage classes A and B), UN R100 and UN R136 (protection against electric shock); form of the test voltage of ISO 6469-3 and IEC 60664-1 from memory; " +
			"inverse power law of electrical ageing",
		Level:  rules.Error,
		Varies: "warning where the test voltage is below that of basic insulation, but above 4.7 U: what holds for a minute then holds for ten years", Required: 1,
		Policy: []string{"policy.required.converter-not-isolated"},
		Vital:  []string{"converters.isolation_V"},
		Fix:    "use a converter with galvanic isolation, tested with 2 U + 1000 V for the highest working voltage U, or rated for U as working voltage",
		Example: rules.Example{Vehicle: "heron", Subject: "converter", Edits: []rules.Edit{
			{Path: "converters.converter.isolation_V", Value: "50"}}},
		Check: checkNotIsolated,
	}
}

func checkNotIsolated(p *rules.Pass) {
	for _, v := range wired(p) {
		c := p.Subject(v.ID, v.Path())
		if p.Unsound(c, v.ID+".in_pos") {
			continue
		}
		highest, path, ok, err := highestInput(p, v.ID)
		switch {
		case err != nil && unsettled(c, err):
		case !ok:
			c.NotChecked("a source for "+v.ID, "nothing feeds the input of %s", v.ID)
		default:
			checkIsolation(c, v, highest, path)
		}
	}
}

func checkIsolation(c *rules.Check, v *schema.Converter, highest inputV, path string) {
	if path != "" {
		c.Given("V_max", "highest output voltage of the charger on its network", highest.v, "V", path)
	} else {
		showInput(c, "V_max", "highest working voltage at its input", highest)
	}
	limit := c.Standard("V_A", "limit of voltage class A", calc.ClassALimitV, "V DC", "ISO 6469-3, UN R100, UN R136")
	switch classB := highest.v > limit; {
	case !classB && !(v.Isolated && (v.IsolationV.Known || v.IsolationWorkingV.Known)):
		c.Holds(true, "%s works at %s V, voltage class A: no isolation required", v.ID, rules.Figure(highest.v))
	case !v.Isolated:
		c.Fail("%s has no isolation: input at up to %s V, required above %s V", v.ID, rules.Figure(highest.v), rules.Figure(limit))
	case v.IsolationWorkingV.Known:
		rated := c.Given("V_iso", "working voltage that the isolation is rated for", v.IsolationWorkingV.Value, "V", v.Path()+".isolation_working_V")
		c.AtMost(rules.Volts(highest.v), rules.Volts(rated), "%s: input at up to %s V, isolation rated for %s V working voltage",
			v.ID, rules.Figure(highest.v), rules.Figure(rated))
	case !v.IsolationV.Known:
		c.NotChecked(v.Path()+".isolation_V", "%s: the test voltage of its isolation is not stated", v.ID)
	default:
		checkTestVoltage(c, v, highest.v, classB)
	}
}

// checkTestVoltage holds the test voltage of the isolation against what its working
// voltage asks for: in class A that it holds that at all.
func checkTestVoltage(c *rules.Check, v *schema.Converter, highest float64, classB bool) {
	tested := c.Given("V_test", "test voltage of the isolation, for a minute", v.IsolationV.Value, "V", v.Path()+".isolation_V")
	if !classB {
		c.AtMost(rules.Volts(highest), rules.Volts(tested), "%s: input at up to %s V, class A; its isolation is tested with %s V", v.ID, rules.Figure(highest), rules.Figure(tested))
		return
	}
	lasting := calc.LastingTestVoltage(highest)
	basic, err := calc.BasicTestVoltage(highest)
	if err != nil {
		c.NotChecked("a working voltage within the standards", "%s: %v", v.ID, err)
		return
	}
	if tested >= lasting.Value {
		c.Level(rules.Warning)
	}
	c.Line("V_life", "test voltage below which the insulation does not last ten years at its working voltage", lasting)
	need := c.Line("V_need", "test voltage of basic insulation for the highest working voltage", basic)
	c.Fix("use a converter with an isolation tested with at least %s V, or one that states a working voltage of its isolation of at least %s V", rules.Figure(rules.RoundUp(need, 10)), rules.Figure(rules.RoundUp(highest, 1)))
	c.AtMost(rules.Volts(need), rules.Volts(tested), "%s: its isolation is tested with %s V; an input at up to %s V needs a test with %s V",
		v.ID, rules.Figure(tested), rules.Figure(highest), rules.Figure(need))
}
