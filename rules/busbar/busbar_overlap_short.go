package busbar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func busbarOverlapShort() *rules.Rule {
	return &rules.Rule{
		ID:     "busbar-overlap-short",
		Family: family,
		Title:  "two bus bars overlap too little in their joint",
		Why: "Current crosses from bar to bar near the edges of the lap. If the lap is short the current crowds, the joint runs hotter than the bars, " +
			"and the heat loosens it.",
		Relation: "overlap_mm >= 5 times thickness_mm; 10 times is slightly better. A bar without overlap_mm is bolted to no other bar and is not checked",
		Source:   "Copper Development Association, busbar handbook (5 to 10 times the thickness), from memory; DIN 43673 gives the bar's width for single-bolt joints",
		Level:    rules.Warning,
		Required: 1,
		Fix:      "overlap the bars by their width, with a bolt in the middle",
		Example: rules.Example{Vehicle: "badger", Subject: "b_plus_drive", Edits: []rules.Edit{
			{Path: "busbars.b_plus_drive.overlap_mm", Value: "20"}}},
		Check: checkOverlap,
	}
}

// overlapRatio is the least overlap of a joint over the thickness of its bars.
const overlapRatio = 5

func checkOverlap(p *rules.Pass) {
	bars(p, func(c *rules.Check, _ *demand.Demands, b *schema.Busbar) {
		if !b.OverlapMM.Known {
			return
		}
		d := c.Given("d", "thickness of "+b.ID, b.ThicknessMM, "mm", b.Path()+".thickness_mm")
		f := c.Standard("f", "overlap over thickness", overlapRatio, "", "Copper Development Association, busbar handbook, from memory")
		need := c.Calc("l_min", "least overlap", "f d", rules.Term(f)+" * "+rules.Term(d), f*d, "mm")
		has := c.Given("l_o", "overlap of the joint of "+b.ID, b.OverlapMM.Value, "mm", b.Path()+".overlap_mm")
		c.Fix("overlap the bars by at least %s mm; %s mm, the bar's width, suits one bolt in the middle", rules.Figure(rules.RoundUp(need, 0.1)), rules.Figure(b.WidthMM))
		c.AtLeast(millimetres(need), millimetres(has), "%s: overlap %s mm, needs at least %s mm (5 times its thickness)", b.ID, rules.Figure(has), rules.Figure(need))
	})
}
