package precharge

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/charging"
	"example.org/headroom/rules/internal/circuit"
)

func prechargeStalls() *rules.Rule {
	return &rules.Rule{
		ID:     "precharge-stalls",
		Family: family,
		Title:  "the pre-charge does not come to the voltage of the battery",
		Why: "A converter, lamp or fan behind the resistor takes what the capacitors should get. They stay half empty, or the converter starts, " +
			"pulls them down and stops, over and over, while the resistor cooks. The contactor then closes on the whole rest, or never.",
		Relation: "the voltage on which the capacitors settle while the contactor waits is at least 0.9 of what they come to with it closed. A constant power P is fed " +
			"through R only if P <= V^2 / 4R, and only if its start voltage is not on the falling side of that",
		Source:   "circuit theory (maximum power transfer); the share of 0.9 is common practice",
		Level:    rules.Error,
		Required: 1,
		Fix:      "feed converter and loads from the battery side of the contactor, keep them off by their enable input until it has closed, or take a smaller resistance",
		Example: rules.Example{Vehicle: "mole", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "busbars.b_comb_2.from", Value: `"main_contactor.b"`},
			{Path: "busbars.b_comb_3.from", Value: `"charge_fuse.a"`},
			{Path: "modes.ready.on", Value: `["beacon"]`}}},
		Check: checkStalls,
	}
}

func checkStalls(p *rules.Pass) {
	for _, a := range charging.Attempts(p) {
		c, ok := onContactor(p, a)
		if !ok {
			continue
		}
		v, ok := full(c, p, a)
		if !ok {
			continue
		}
		final, supply, restless, trouble := a.WorkSettled(p, c.Working, v)
		if unknown(c, trouble) {
			continue
		}
		if supply < 1e-3*v {
			c.NotChecked("a supply for "+a.Contactor.ID, "nothing feeds the pre-charge of %s in mode %s", a.Contactor.ID, a.Mode)
			continue
		}
		judgeStall(c.In(a.Mode, ""), p, a, final, supply, restless)
	}
}

func judgeStall(c *rules.Check, p *rules.Pass, a charging.Attempt, final, supply float64, restless string) {
	id := a.Contactor.ID
	if v, ok := p.Spec.Converters[restless]; ok {
		c.Related(v.Path(), "starts and stops")
		c.Fail("the pre-charge of %s never ends: %s starts as the capacitors reach its start voltage, pulls them down and stops, again and again", id, restless)
		return
	}
	if restless != "" {
		c.Fail("the pre-charge of %s finds no rest: %s operates and releases again and again", id, restless)
		return
	}
	x := c.Standard("x", "share of the supply that counts as charged", charging.Charged, "", "common practice")
	least := c.Calc("V_c", "voltage that counts as charged", "x V", rules.Term(x)+" * "+rules.Term(supply), x*supply, "V")
	by := ""
	if final < least && !a.Plain() {
		if who, i := a.Draw(p, circuit.Highest); who != "" {
			c.Related(p.Spec.Part(who).Common().Path(), "draws from them meanwhile")
			by = ": " + who + " draws up to " + rules.Figure(i) + " A from them"
		}
	}
	c.AtLeast(rules.Volts(least), rules.Volts(final), "the capacitors behind %s come to %s V of %s V through %s while it waits%s", id, rules.Figure(final), rules.Figure(supply), a.Resistors[0].ID, by)
}
