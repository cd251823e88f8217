package capacity

import (
	"fmt"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// ExplainAmpacity adds how the ampacity comes about to the working, so that it can
// be followed by hand from the section, the place and the published tables.
func (c *Conductor) ExplainAmpacity(w *rules.Working) {
	if w.Unread() {
		return // all of it is published or computed
	}
	switch {
	case c.bar != nil:
		c.explainBar(w)
	case c.smallCraft:
		c.explainSmallCraft(w)
	default:
		c.explainCable(w)
	}
}

// explainCable adds the heat balance of a cable.
func (c *Conductor) explainCable(w *rules.Working) {
	if c.IzA == 0 {
		w.Line("I_z", "ampacity of "+c.ID, calc.NoAmpacity())
		return
	}
	b, err := calc.FreeAirBalance(*c.cable, c.LimitC, c.AmbientC)
	if err != nil {
		return // the ampacity, made of the same numbers, is not 0
	}
	w.Lines(c.cable.MetreSteps(c.LimitC)...)
	c.explainDiameters(w)
	w.Lines(b.InsulationStep())
	w.Lines(b.SurfaceSteps(c.ID)...)
	c.explainDerating(w)
	if iz, err := b.Ampacity(); err == nil {
		w.Line("I_z", "ampacity of "+c.ID, iz)
	}
}

// explainDiameters adds the diameters over strands and insulation.
func (c *Conductor) explainDiameters(w *rules.Working) {
	c.sized = true
	w.Lines(c.cable.DiameterSteps()...)
}

// explainSmallCraft adds the ampacity by the small-craft table.
func (c *Conductor) explainSmallCraft(w *rules.Working) {
	what := "ampacity by the small-craft table at 30 C"
	if c.AmbientC > engineSpaceC {
		what = "ampacity by the small-craft table inside an engine space"
	}
	table := w.Line("I_t", what, c.table)
	f := c.explainDerating(w)
	w.Calc("I_z", "ampacity of "+c.ID, "f I_t", rules.Term(f)+" * "+rules.Term(table), c.IzA, "A")
}

// explainBar adds the ampacity of a bus bar.
func (c *Conductor) explainBar(w *rules.Working) {
	if steps, err := c.bar.AmpacitySteps(c.ID, c.LimitC, c.AmbientC); err == nil {
		w.Lines(steps...)
	}
}

// derating is what grouping and a sheath leave of the ampacity of a wire.
type derating struct {
	bundle           string
	count            int // of the conductors of the bundle
	grouping, sheath calc.Line
	sheathed         bool
}

func deratingOf(p *rules.Pass, wire *schema.Wire) derating {
	d := derating{bundle: wire.Bundle, grouping: calc.Line{Value: 1}, sheath: calc.Line{Value: 1}, sheathed: wire.Sheathed}
	if wire.Bundle != "" {
		for _, other := range schema.Sorted(p.Spec.Wires) {
			if other.Bundle == wire.Bundle {
				d.count++
			}
		}
		d.grouping, _ = calc.GroupingFactor(d.count) // a count of at least one cannot err
	}
	if wire.Sheathed {
		d.sheath = calc.SheathedFactor()
	}
	return d
}

func (d derating) factor() float64 { return d.grouping.Value * d.sheath.Value }

// explainDerating adds what grouping and a sheath leave of the ampacity.
func (c *Conductor) explainDerating(w *rules.Working) float64 {
	d := c.derating
	if d.bundle == "" && !d.sheathed {
		return w.Default("f", "derating of "+c.ID, 1, "", "no bundle and no sheath declared")
	}
	formula, numbers := "f_g", ""
	if d.bundle != "" {
		w.Line("f_g", fmt.Sprintf("grouping: %d conductors in bundle %s", d.count, d.bundle), d.grouping)
	}
	if d.sheathed {
		w.Line("f_s", "sheath around "+c.ID, d.sheath)
		formula = "f_s"
	}
	if d.bundle != "" && d.sheathed {
		formula, numbers = "f_g f_s", rules.Term(d.grouping.Value)+" * "+rules.Term(d.sheath.Value)
	}
	return w.Calc("f", "derating of "+c.ID, formula, numbers, d.factor(), "")
}
