package fuse

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func holderVoltageLow() *rules.Rule {
	return &rules.Rule{
		ID:     "fuse-holder-voltage-low",
		Family: family,
		Title:  "the DC voltage rating of a fuse holder is below the working voltage of its circuit",
		Why: "When the link has opened, only the holder insulates its two ends from each other. One rated 32 V tracks and burns at pack voltage, " +
			"however good the link.",
		Relation: "holder.rated_V_dc >= the highest working voltage, as for the fuse",
		Source:   "IEC 60269-1, 5.2 (rated voltage of the fuse-holder); working voltage by ISO 6469-3",
		Level:    rules.Error,
		Required: 1,
		Fix:      "use a holder with a DC rating of at least the working voltage",
		Example: rules.Example{Vehicle: "heron", Subject: "charge_fuse", Edits: []rules.Edit{
			{Path: "fuses.charge_fuse.holder.rated_V_dc", Value: "32"}}},
		Check: checkHolderVoltageLow,
	}
}

func checkHolderVoltageLow(p *rules.Pass) {
	s := newSupply(p)
	s.fuses(func(f *schema.Fuse, c *rules.Check) bool {
		if f.Holder != nil {
			evalVoltage(s, c, f.ID, f.Holder.RatedVdc, f.Path()+".holder.rated_V_dc", "the holder of ")
		}
		return true
	})
}
