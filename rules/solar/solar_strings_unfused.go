package solar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
)

func stringsUnfused() *rules.Rule {
	return &rules.Rule{
		ID:     "solar-strings-unfused",
		Family: family,
		Title:  "strings of modules in parallel have no fuse each",
		Why: "A shaded or shorted module in one of three strings takes the current of the two others backwards. Two strings cannot do it: one gives no more than a module " +
			"carries anyway.",
		Relation: "in_parallel <= 2, or string_fuse_A is given, and within max_series_fuse_A where that is stated",
		Source:   "NFPA 70 690.9 (from memory); circuit theory",
		Level:    rules.Warning,
		Fix:      "fit a fuse in each string, no larger than the module's maximum series fuse",
		Example: rules.Example{Vehicle: "mole", Subject: "roof", Edits: []rules.Edit{
			{Path: "solar.roof.in_parallel", Value: "3"}}},
		Check: checkStrings,
	}
}

func checkStrings(p *rules.Pass) {
	for _, s := range wired(p) {
		c := p.Subject(s.ID, s.Path())
		n := c.Given("n", "strings in parallel", float64(s.InParallel), "", s.Path()+".in_parallel")
		switch most := s.ReverseFuseA; {
		case s.InParallel <= calc.LooseStrings:
			c.Holds(true, "%s: %s strings, which need no fuse each", s.ID, rules.Figure(n))
		case !s.StringFuseA.Known:
			c.Fail("%s: %s strings in parallel without a fuse each", s.ID, rules.Figure(n))
		case most.Known:
			fuse := c.Given("I_n", "fuse in each string", s.StringFuseA.Value, "A", s.Path()+".string_fuse_A")
			limit := c.Given("I_max", "maximum series fuse of the module", most.Value, "A", s.Path()+".max_series_fuse_A")
			c.Required(1).AtMost(rules.Amperes(fuse), rules.Amperes(limit), "%s: string fuses of %s A, modules withstand %s A", s.ID, rules.Figure(fuse), rules.Figure(limit))
		default:
			c.NotChecked(s.Path()+".max_series_fuse_A", "%s: the largest fuse that its modules withstand is not stated", s.ID)
		}
	}
}
