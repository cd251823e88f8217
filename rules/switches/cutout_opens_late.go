package switches

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func cutoutOpensLate() *rules.Rule {
	return &rules.Rule{
		ID:       "cutout-opens-late",
		Family:   family,
		Title:    "a thermal cut-out opens only when what it guards is damaged already",
		Why:      "The hottest spot of a winding is some ten kelvin above the place where a cut-out sits. One that opens at the limit of the insulation opens too late.",
		Relation: "opens_C + tolerance_K <= limit_C - 10 K of the motor or resistor that it guards; a bimetal is off by 5 K where no tolerance is given",
		Source:   "insulation classes of IEC 60085; tolerance of bimetals by IEC 60730-2-9 and gradient in a winding, from memory and common practice",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"motors.limit_C", "resistors.limit_C"},
		Fix:      "use a cut-out that opens at a lower temperature",
		Example: rules.Example{Vehicle: "mole", Subject: "motor_cutout", Edits: []rules.Edit{
			{Path: "cutouts.motor_cutout.opens_C", Value: "155"}}},
		Check: eachCutout(evalCutoutLate),
	}
}

const (
	bimetalK  = 5  // K: tolerance of a bimetal where none is given; from memory
	gradientK = 10 // K: from where a cut-out sits to the hottest spot; common practice
)

func evalCutoutLate(c *rules.Check, p *rules.Pass, k cutout) {
	limit, path := guarded(p.Spec, k.Guards)
	if !limit.Known {
		c.NotChecked(path, "%s: the temperature limit of %s, which it guards, is not given", k.ID, k.Guards)
		return
	}
	opens := c.Given("T_o", "temperature at which it opens", k.OpensC, "C", k.field("opens_C"))
	tol := c.Or("dT_tol", "how far that may be off", k.ToleranceK, "K", k.field("tolerance_K"), bimetalK, "a bimetal, from memory")
	latest := c.Calc("T_max", "temperature at which it has opened at the latest", "T_o + dT_tol", rules.Term(opens)+" + "+rules.Term(tol), opens+tol, "C")
	most := c.Given("T_lim", "temperature limit of "+k.Guards, limit.Value, "C", path)
	spot := c.Default("dT_spot", "from the cut-out to the hottest spot", gradientK, "K", "common practice")
	may := c.Calc("T_may", "temperature at which it must have opened", "T_lim - dT_spot", rules.Term(most)+" - "+rules.Term(spot), most-spot, "C")
	c.Related(p.Spec.Part(k.Guards).Common().Path(), "what it guards")
	c.Fix("use a cut-out that opens at %s C or less", rules.Figure(rules.RoundDown(may/p.Required()-tol, 1)))
	c.AtMost(rules.Quantity{Value: latest, Unit: "C"}, rules.Quantity{Value: may, Unit: "C"},
		"%s: opens at %s C at the latest, %s has to be cut off at %s C", k.ID, rules.Figure(latest), k.Guards, rules.Figure(may))
}

// guarded is the temperature limit of a motor or resistor in C, and its path.
func guarded(s *schema.Spec, id string) (limit schema.Number, path string) {
	if m, ok := s.Motors[id]; ok {
		return m.LimitC, m.Path() + ".limit_C"
	}
	if r, ok := s.Resistors[id]; ok {
		return r.LimitC, r.Path() + ".limit_C"
	}
	return limit, id
}
