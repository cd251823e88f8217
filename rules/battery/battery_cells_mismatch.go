package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

func batteryCellsMismatch() *rules.Rule {
	return &rules.Rule{
		ID:     "battery-cells-mismatch",
		Family: family,
		Title:  "the battery's voltages do not fit its cells",
		Why: "A pack is sold under a round voltage, built from a number of cells and charged to a third figure. Where these do not fit together, either " +
			"the file describes another pack than the one in the vehicle, and every rating chosen from it is wrong, or the cells are overcharged or " +
			"discharged below what they survive.",
		Relation: "series * nominal voltage of a cell < max_V <= 1.03 * series * charge end of a cell; " +
			"0.95 * series * discharge end of a cell <= min_V < series * nominal voltage of a cell",
		Source: "published cell data by chemistry; LTO and lead-acid from memory. The bands are common practice",
		Level:  rules.Error,
		Varies: "warning where the voltages are harmless but cannot be those of that many cells",
		Fix:    "compare series, chemistry, min_V and max_V with the datasheet of the pack",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.series", Value: "18"}}},
		Check: checkCells,
	}
}

// The bands in which a pack's voltages may leave the cell data: a charge end a
// little above it for balancing, a cut-off a little below it.
const (
	aboveFull  = 1.03
	belowEmpty = 0.95
)

func checkCells(p *rules.Pass) {
	for id, b := range schema.Sorted(p.Spec.Batteries) {
		if b.Spare {
			continue
		}
		c := p.Subject(id, b.Path())
		cell, known := calc.CellVoltages(b.Chemistry)
		switch {
		case b.Chemistry == "":
			c.NotChecked(b.Path()+".chemistry", "%s: its chemistry is not stated", id)
		case !known:
			c.NotChecked("the cell voltages of another chemistry", "%s: the cell voltages of its chemistry are not known", id)
		case !b.Series.Known:
			c.NotChecked(b.Path()+".series", "%s: its number of cells in series is not stated", id)
		default:
			compareCells(c, b, cell)
		}
	}
}

func compareCells(c *rules.Check, b *schema.Battery, cell calc.CellWindow) {
	const source = "published cell data"
	n := c.Given("n", "cells in series", b.Series.Value, "", b.Path()+".series")
	c.GivenText("chemistry", "chemistry of the cells", b.Chemistry, b.Path()+".chemistry")
	full := c.Standard("v_full", "charge end of a cell", cell.MaxV, "V", source)
	usual := c.Standard("v_nom", "nominal voltage of a cell", cell.NominalV, "V", source)
	empty := c.Standard("v_empty", "discharge end of a cell", cell.MinV, "V", source)
	most := c.Calc("V_most", "highest charge end of the pack", "1.03 n v_full", rules.Term(aboveFull)+" * "+rules.Term(n)+" * "+rules.Term(full), aboveFull*n*full, "V")
	middle := c.Calc("V_mid", "nominal voltage of all the cells in series", "n v_nom", rules.Term(n)+" * "+rules.Term(usual), n*usual, "V")
	least := c.Calc("V_least", "lowest discharge end of the pack", "0.95 n v_empty", rules.Term(belowEmpty)+" * "+rules.Term(n)+" * "+rules.Term(empty), belowEmpty*n*empty, "V")
	top := c.Given("V_max", "stated charge end of the pack", b.MaxV, "V", b.Path()+".max_V")
	low := c.Given("V_min", "stated discharge end of the pack", b.MinV, "V", b.Path()+".min_V")
	cells := rules.Figure(n) + " " + b.Chemistry + " cells"
	switch {
	case top > most:
		c.Required(1).AtMost(rules.Volts(top), rules.Volts(most), "%s: max_V %s V; %s are full at %s V, limit %s V", b.ID, rules.Figure(top), cells, rules.Figure(n*full), rules.Figure(most))
	case low < least:
		c.Required(1).AtLeast(rules.Volts(least), rules.Volts(low), "%s: min_V %s V; %s are empty at %s V, limit %s V", b.ID, rules.Figure(low), cells, rules.Figure(n*empty), rules.Figure(least))
	case top <= middle:
		c.Level(rules.Warning).Fail("%s: max_V %s V is too low; %s have a nominal voltage of %s V", b.ID, rules.Figure(top), cells, rules.Figure(middle))
	case low >= middle*(1+1e-9):
		c.Level(rules.Warning).Fail("%s: min_V %s V is too high; %s have a nominal voltage of %s V", b.ID, rules.Figure(low), cells, rules.Figure(middle))
	default:
		c.Required(1).AtMost(rules.Volts(top), rules.Volts(most), "%s: max_V %s V; %s are full at %s V, limit %s V", b.ID, rules.Figure(top), cells, rules.Figure(n*full), rules.Figure(most))
	}
}
