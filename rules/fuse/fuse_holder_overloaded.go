package fuse

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func holderOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-holder-overloaded",
		Family: family,
		Title:  "a fuse is rated above its holder",
		Why: "The holder's clips are the hottest joint of the circuit. A link rated above the holder lets more through " +
			"than the clips withstand, and the holder melts with the fuse intact.",
		Relation: "holder.rated_A >= rated_A",
		Source:   "IEC 60269-1, 5.3.2 (rated current of the fuse-holder)",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a larger holder or a smaller fuse",
		Example: rules.Example{Vehicle: "heron", Subject: "charge_fuse", Edits: []rules.Edit{
			{Path: "fuses.charge_fuse.rated_A", Value: "40"}}},
		Check: checkHolderOverloaded,
	}
}

func checkHolderOverloaded(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		if f.Holder == nil {
			return true // none is declared, as with a bolted link
		}
		path := f.Path() + ".holder.rated_A"
		if !f.Holder.RatedA.Known {
			c.NotChecked(path, "%s: the rated current of its holder is not declared", f.ID)
			return true
		}
		n := c.Given("I_n", "rated current of "+f.ID, f.RatedA, "A", f.Path()+".rated_A")
		h := c.Given("I_h", "rated current of its holder", f.Holder.RatedA.Value, "A", path)
		text := fmt.Sprintf("use a holder rated at least %s A", rules.Figure(n))
		if n > h {
			if down, ok := s.smaller(f, h); ok {
				text += fmt.Sprintf(", or a fuse of %s A", rules.Figure(down))
			}
		}
		c.Fix("%s", text)
		c.AtMost(rules.Amperes(n), rules.Amperes(h), "%s: rated %s A, its holder %s A", f.ID, rules.Figure(n), rules.Figure(h))
		return true
	})
}
