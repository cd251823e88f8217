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
		Title:  "the pre-charge does not reach the voltage of the battery",
		Why: "A converter, lamp or fan behind the resistor draws the current that should charge the capacitors. They stay half empty, or the converter cycles: it starts, " +
			"pulls them down and stops, while the resistor overheats. The contactor then closes on the full difference, or never.",
		Relation: "the voltage at which the capacitors settle while the contactor waits is at least 0.9 of what they reach with it closed. A constant power P is fed " +
			"through R only if P <= V^2 / 4R, and only if its start voltage is not on the falling side of that",
		Source:   "circuit theory (maximum power transfer); the share of 0.9 is common practice",
		Level:    rules.Error,
		Required: 1,
		Vital: []string{
			"controllers.capacitance_uF", "converters.input.capacitance_uF", "batteries.resistance_mOhm",
			"batteries.short_circuit_A",
		},
		Fix: "feed converter and loads from the battery side of the contactor, keep them off by their enable input until it has closed, or use a smaller resistance",
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
		final, supply, oscillating, trouble := a.ExplainSettled(p, c.Working, v)
		if unknown(c, trouble) {
			continue
		}
		if supply < 1e-3*v {
			c.NotChecked("a supply for "+a.Contactor.ID, "pre-charge of %s: nothing feeds it in mode %s", a.Contactor.ID, a.Mode)
			continue
		}
		evalStall(c.In(a.Mode, ""), p, a, final, supply, oscillating)
	}
}

func evalStall(c *rules.Check, p *rules.Pass, a charging.Attempt, final, supply float64, oscillating string) {
	id := a.Contactor.ID
	if v, ok := p.Spec.Converters[oscillating]; ok {
		c.Related(v.Path(), "starts and stops")
		c.Fix("feed %[1]s from the battery side of %[2]s, or release its enable input only after %[2]s has closed", oscillating, id)
		c.Fail("pre-charge of %s: never completes; %s cycles, it starts when the capacitors reach its start voltage and pulls them down until it stops", id, oscillating)
		return
	}
	if oscillating != "" {
		c.Fail("pre-charge of %s: never completes; %s switches itself on and off", id, oscillating)
		return
	}
	x := c.Standard("x", "share of the supply that counts as charged", charging.Charged, "", "common practice")
	least := c.Calc("V_c", "voltage that counts as charged", "x V", rules.Term(x)+" * "+rules.Term(supply), x*supply, "V")
	by := ""
	if final < p.Required()*least {
		by = explainLow(c, p, a, final, supply)
	}
	c.AtLeast(rules.Volts(least), rules.Volts(final), "pre-charge of %s: settles at %s V of %s V through %s, needs %s V%s", id, rules.Figure(final), rules.Figure(supply), a.Resistors[0].ID, rules.Figure(least), by)
}

// explainLow names what keeps the capacitors low while they charge, as the end of a
// sentence, and says what to do about it.
func explainLow(c *rules.Check, p *rules.Pass, a charging.Attempt, final, supply float64) (by string) {
	if a.Plain() {
		fixDivider(c, p, a, final, supply)
		return ""
	}
	who, i := a.Draw(p, circuit.Highest)
	if who == "" {
		fixDivider(c, p, a, final, supply)
		return ""
	}
	c.Related(p.Spec.Part(who).Common().Path(), "draws from them meanwhile")
	c.Fix("feed %[1]s from the battery side of %[2]s, or switch it on only after %[2]s has closed", who, a.Contactor.ID)
	return "; " + who + " draws up to " + rules.Figure(i) + " A meanwhile"
}

// fixDivider says which resistance lets the capacitors settle high enough where bleed
// resistors alone divide the supply, which is a share of it in V.
func fixDivider(c *rules.Check, p *rules.Pass, a charging.Attempt, final, supply float64) {
	if text := a.Resize(p, supply); text != "" {
		c.Fix("%s", text)
		return
	}
	need := charging.Charged * p.Required() * supply
	if a.Plain() || len(a.Resistors) != 1 || final >= need || final <= 0 || need >= supply {
		return
	}
	r := a.Resistors[0]
	bleed := r.ResistanceOhm * final / (supply - final)
	ohm := bleed * (supply - need) / need
	c.Fix("lower resistance_Ohm of %s from %s to at most %s, rated at least %s W continuous, or raise the bleed resistance behind %s; then check what passes the open contact",
		r.ID, rules.Figure(r.ResistanceOhm), rules.Figure(rules.RoundDown(ohm, charging.Step(ohm))), rules.Figure(rules.RoundUp(supply*supply/ohm, 1)), a.Contactor.ID)
}
