package solar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/capacity"
	"example.org/headroom/schema"
)

func cableOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "solar-cable-overloaded",
		Family: family,
		Title:  "the lead of the modules is too thin for their short-circuit current",
		Why: "No fuse protects the lead of solar modules, for they never give much more than their rated current: the lead has to carry all that they give, for hours, on a hot " +
			"roof, and when it is shorted.",
		Relation: "1.25 * 1.25 * in_parallel * Isc <= ampacity of the lead in the hottest air, its insulation at its limit",
		Source:   "NFPA 70 690.8 (secondary text); ampacity as in conductor-overloaded",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.solar-cable-overloaded", "policy.terminal_max_C"},
		Vital:    []string{"solar.cable"},
		Fix:      "use a thicker lead",
		Example: rules.Example{Vehicle: "mole", Subject: "roof", Edits: []rules.Edit{
			{Path: "solar.roof.in_parallel", Value: "2"}, {Path: "solar.roof.cable.size", Value: `"0.5 mm2"`}}},
		Check: checkCable,
	}
}

func checkCable(p *rules.Pass) {
	for _, s := range wired(p) {
		c := p.Subject(s.ID, s.Path())
		switch {
		case s.Cable == nil:
			c.NotChecked(s.Path()+".cable", "%s: the lead of its modules is not given", s.ID)
		case !s.Cable.MaxC.Known:
			c.NotChecked(s.Path()+".cable.max_C", "%s: the temperature limit of its lead is not given", s.ID)
		default:
			evalCable(c, p, s)
		}
	}
}

func evalCable(c *rules.Check, p *rules.Pass, s *schema.Solar) {
	c.Given("I_sc", "short-circuit current of one module", s.IscA, "A", s.Path()+".Isc_A")
	c.Given("n", "strings in parallel", float64(s.InParallel), "", s.Path()+".in_parallel")
	need := c.Line("I_need", "current that the lead is rated for", calc.ModuleCableA(s.InParallel, s.IscA))
	air := capacity.AirAt(p, &s.Base, nil).Explain(c.Working)
	limitC := min(c.Given("T_ins", "temperature limit of its insulation", s.Cable.MaxC.Value, "C", s.Path()+".cable.max_C"),
		c.Default("T_term", "temperature limit of the terminals", p.Spec.Policy.TerminalMaxC, "C", "policy.terminal_max_C"))
	size, err := calc.ParseSize(s.Cable.Size)
	if err != nil {
		c.NotChecked(s.Path()+".cable.size", "%s: %v", s.ID, err)
		return
	}
	c.GivenText("S", "size of the lead", s.Cable.Size, s.Path()+".cable.size")
	ampacity := func(size calc.Size) float64 {
		a, err := calc.FreeAirAmpacity(calc.Cable{Size: size}, limitC, air)
		if err != nil {
			return 0 // air above the limit of the insulation
		}
		return a
	}
	iz := c.Calc("I_z", "ampacity of the lead in free air", "heat balance, as in conductor-overloaded", "", ampacity(size), "A")
	if larger, ok := calc.ThinnestSize(size.System, func(x calc.Size) bool { return ampacity(x) >= need*p.Required() }); ok && iz < need*p.Required() {
		c.Fix("use a lead of at least %s", larger.Label)
	}
	c.AtMost(rules.Amperes(need), rules.Amperes(iz), "%s: lead must carry %s A, ampacity %s A in air of %s C", s.ID, rules.Figure(need), rules.Figure(iz), rules.Figure(air))
}
