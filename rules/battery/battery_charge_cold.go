package battery

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func batteryChargeCold() *rules.Rule {
	return &rules.Rule{
		ID:     "battery-charge-cold",
		Family: family,
		Title:  "a battery is charged below its lowest charging temperature",
		Why: "Lithium cells charged below freezing plate metal at any current: capacity is lost permanently, and the damage shows only when a cell " +
			"shorts weeks later. Regeneration on the first hill of a frosty morning is charging too.",
		Relation: "charge_min_C <= the lowest temperature of the cells in every mode that charges the battery: regeneration, charger, converter. Unstated it is 0 C for LFP, NMC, NCA and LCO, " +
			"-20 C for LTO and -15 C for lead-acid. The cells are as cold as the air of the mode, unless cells_min_C says that they are kept warmer",
		Source: "data sheet; lithium plating on carbon anodes below 0 C (electrochemistry, charging range of the JEITA guideline as notes quote it); LTO and lead-acid from memory",
		Level:  rules.Error,
		Varies: "warning for LTO and lead-acid that state nothing, and where no mode charges the battery though something could",
		Vital:  []string{"batteries.charge_min_C", "batteries.chemistry"},
		Fix:    "heat the cells before they are charged and state cells_min_C, switch regeneration off in the cold, or give the modes that charge the ambient_C at which they are used",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.charge_min_C", Value: "0"}}},
		Check: checkChargeCold,
	}
}

// coldLimit is the temperature in C down to which a battery of a chemistry may be
// charged where its sheet says nothing, and where that is from.
func coldLimit(chemistry string) (c float64, source string, known bool) {
	switch chemistry {
	case "LFP", "NMC", "NCA", "LCO":
		return 0, "lithium plates on a carbon anode below 0 C", true
	case "LTO":
		return -20, "from memory, LTO", true
	case "lead-acid":
		return -15, "common practice for lead-acid batteries", true
	}
	return 0, "", false
}

func checkChargeCold(p *rules.Pass) {
	for _, x := range batteries(p) {
		if c, ok := begin(p, x); ok {
			x.checkCold(c, p)
		}
	}
}

// coldCharge is what charges a battery at the lowest temperature of its cells.
type coldCharge struct {
	mode *schema.Mode // nil where no mode does, but something could
	by   string       // "in mode brake", "by charger"; "" where nothing charges it
	c    float64
	path string
}

// coldest is the coldest mode that charges the battery; what no mode has charge it
// counts in the vehicle's lowest temperature.
func (x batteryState) coldest(p *rules.Pass) (worst coldCharge) {
	at := func(mode string) (c float64, path string) {
		cold := p.Circuit.BatteryCold(mode, x.Battery.Battery, 0)
		return cold.C, cold.Path
	}
	for _, f := range x.Currents {
		if f.Taken.A == 0 || p.Spec.Modes[f.Mode.ID] == nil {
			continue
		}
		if c, path := at(f.Mode.ID); worst.mode == nil || c < worst.c {
			worst = coldCharge{f.Mode, "in mode " + f.Mode.ID, c, path}
		}
	}
	if worst.mode != nil {
		return worst
	}
	worst.c, worst.path = at("")
	for _, ch := range chargers(p) {
		if x.chargedBy(p, ch) {
			worst.by = "by " + ch.ID
			return worst
		}
	}
	if ids := x.FedBy(); len(ids) > 0 {
		worst.by = "by " + ids[0]
		return worst
	}
	for _, k := range x.controllers(p) {
		if k.RegenA.Or(0) > 0 {
			worst.by = "by regeneration of " + k.ID
			return worst
		}
	}
	return coldCharge{}
}

func (x batteryState) checkCold(c *rules.Check, p *rules.Pass) {
	worst := x.coldest(p)
	limit, source, known := coldLimit(x.Chemistry)
	switch {
	case !x.Solved(c):
		return
	case worst.by == "":
		c.Holds(true, "nothing charges %s", x.ID)
		return
	case !x.ChargeMinC.Known && !known:
		c.NotChecked(x.Path()+".charge_min_C", "%s: charged at %s C %s; neither its lowest charging temperature nor its chemistry is stated", x.ID, rules.Figure(worst.c), worst.by)
		return
	}
	if worst.mode != nil {
		c.In(worst.mode.ID, "coldest ambient")
	}
	if worst.mode == nil || !x.ChargeMinC.Known && limit < 0 {
		c.Level(rules.Warning)
	}
	if x.CellsMinC.Known && worst.path == x.Path()+".cells_min_C" {
		c.AsDeclared(worst.path, "the cells of "+x.ID+" are kept at "+rules.Figure(x.CellsMinC.Value)+" C or more")
	}
	t := c.Given("T_b", "lowest temperature of the cells", worst.c, "C", worst.path)
	least := c.Or("T_min", "lowest charging temperature of "+x.ID, x.ChargeMinC, "C", x.Path()+".charge_min_C", limit, source)
	stated := ""
	if !x.ChargeMinC.Known {
		stated = " of " + x.Chemistry + " cells that state none"
	}
	c.Holds(t >= least, "%s: charged at %s C %s, lowest charging temperature%s %s C", x.ID, rules.Figure(t), worst.by, stated, rules.Figure(least))
}
