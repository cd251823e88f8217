package connector

import (
	"example.org/headroom/rules"
)

func worn() *rules.Rule {
	return &rules.Rule{
		ID:     "connector-worn",
		Family: family,
		Title:  "a connector is mated more often in the vehicle's life than it is made for",
		Why: "Each mating wears the plating of the contacts. Below it the base metal oxidises, the resistance rises, and a charging plug that was cool for two years " +
			"melts in the third.",
		Relation: "matings_per_year * 10 years <= mating_cycles; unstated an inlet is mated 300 times a year, any other once a month",
		Source:   "data sheet; common practice for use and life",
		Level:    rules.Note,
		Required: 1,
		Policy:   []string{"policy.required.connector-worn"},
		Fix:      "use a connector made for more mating cycles, or replace its contacts in time",
		Example: rules.Example{Vehicle: "mole", Subject: "inlet", Edits: []rules.Edit{
			{Path: "connectors.inlet.mating_cycles", Value: "500"}}},
		Check: checkWorn,
	}
}

// What is taken for use and life where the spec says nothing.
const (
	lifeYears    = 10
	inletPerYear = 300
	otherPerYear = 12
)

func checkWorn(p *rules.Pass) {
	for _, k := range plugs(p) {
		c := p.Subject(k.ID, k.Path())
		if !k.MatingCycles.Known {
			c.NotChecked(k.Path()+".mating_cycles", "%s: how often it may be mated is not given", k.ID)
			continue
		}
		usual := float64(otherPerYear)
		if k.Use == "inlet" {
			usual = inletPerYear
		}
		n := c.Or("n", "matings in a year", k.MatingsPerYear, "", k.Path()+".matings_per_year", usual, "common practice")
		years := c.Default("a", "life", lifeYears, "a", "common practice")
		need := c.Calc("N", "matings in its life", "n a", rules.Term(n)+" * "+rules.Term(years), n*years, "")
		made := c.Given("N_r", "mating cycles", k.MatingCycles.Value, "", k.Path()+".mating_cycles")
		c.AtMost(rules.Quantity{Value: need}, rules.Quantity{Value: made}, "%s: %s matings in %s years, made for %s", k.ID, rules.Figure(need), rules.Figure(years), rules.Figure(made))
	}
}
