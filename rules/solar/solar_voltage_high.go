package solar

import (
	"math"

	"example.org/headroom/rules"
)

func voltageHigh() *rules.Rule {
	return &rules.Rule{
		ID:     "solar-voltage-high",
		Family: family,
		Title:  "on a cold morning the modules give more than the regulator or their lead withstands",
		Why: "The open-circuit voltage of a module is stated at 25 C and rises in the cold. At sunrise the modules are at their coldest and the regulator draws nothing yet: " +
			"two modules of 22.3 V give 50.6 V at -20 C, and the input of a 50 V regulator fails as a short circuit.",
		Relation: "in_series * Voc * (1 + percent_per_K (T_min - 25 C)) <= regulator.max_pv_V, and <= cable.rated_V",
		Source:   "data sheets of modules; NFPA 70 690.7 (from memory)",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.required.solar-voltage-high"},
		Fix:      "use fewer modules in series, or a regulator for a higher PV voltage",
		Example: rules.Example{Vehicle: "mole", Subject: "roof", Edits: []rules.Edit{
			{Path: "solar.roof.in_series", Value: "5"}}},
		Check: checkVoltage,
	}
}

func checkVoltage(p *rules.Pass) {
	for _, s := range wired(p) {
		c := p.Subject(s.ID, s.Path())
		v := openV(c, p, s)
		limit := c.Given("V_lim", "highest voltage at the input of the regulator", s.Regulator.MaxPVV, "V", s.Path()+".regulator.max_pv_V")
		what := "its regulator"
		if s.Cable != nil && s.Cable.RatedV.Known && s.Cable.RatedV.Value < limit {
			limit, what = c.Given("V_cable", "rated voltage of the lead", s.Cable.RatedV.Value, "V", s.Path()+".cable.rated_V"), "the lead"
		}
		if most := int(math.Floor(float64(s.InSeries) * limit / v / p.Required())); most >= 1 && most < s.InSeries {
			c.Fix("use at most %d modules in series, or a regulator and lead for at least %s V", most, rules.Figure(rules.RoundUp(v*p.Required(), 1)))
		}
		c.AtMost(rules.Volts(v), rules.Volts(limit), "%s: modules at %s V open in the cold, %s withstands %s V", s.ID, rules.Figure(v), what, rules.Figure(limit))
	}
}
