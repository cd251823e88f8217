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
		Relation: "charge_min_C <= the lowest ambient of every mode that charges the battery: regeneration, charger, converter",
		Source:   "data sheet; -15 C for lead-acid batteries that state nothing is common practice",
		Level:    rules.Warning,
		Vital:    []string{"batteries.charge_min_C", "batteries.chemistry"},
		Fix:      "heat the pack before it is charged and lower charge_min_C to the ambient that the heater copes with, switch regeneration off in the cold, or raise vehicle.ambient_C.min",
		Example: rules.Example{Vehicle: "mole", Subject: "pack", Edits: []rules.Edit{
			{Path: "batteries.pack.charge_min_C", Value: "0"}}},
		Check: checkChargeCold,
	}
}

// leadAcidMinC is the temperature in C down to which a lead-acid battery that is
// not flat may be charged (common practice).
const leadAcidMinC = -15

func checkChargeCold(p *rules.Pass) {
	for _, x := range batteries(p) {
		if c, ok := begin(p, x); ok {
			x.checkCold(c, p)
		}
	}
}

// coldest is the coldest mode that charges the battery; a charger that no mode
// connects counts at the vehicle's lowest ambient.
func (x batteryState) coldest(p *rules.Pass) (mode *schema.Mode, what string, ambientC float64, path string) {
	ambientC, path = p.Spec.Vehicle.AmbientC.Min, "vehicle.ambient_C.min"
	for _, f := range x.Currents {
		if f.Taken.A == 0 {
			continue
		}
		t, from := p.Spec.Vehicle.AmbientC.Min, "vehicle.ambient_C.min"
		if f.Mode.AmbientC.Known {
			t, from = f.Mode.AmbientC.Value, f.Mode.Path()+".ambient_C"
		}
		if mode == nil || t < ambientC {
			mode, ambientC, path = f.Mode, t, from
		}
	}
	if mode != nil {
		return mode, "in mode " + mode.ID, ambientC, path
	}
	for _, ch := range chargers(p) {
		if x.chargedBy(p, ch) {
			return nil, "by " + ch.ID, ambientC, path
		}
	}
	if ids := x.FedBy(); len(ids) > 0 {
		return nil, "by " + ids[0], ambientC, path
	}
	for _, k := range x.controllers(p) {
		if k.RegenA.Or(0) > 0 {
			return nil, "by regeneration of " + k.ID, ambientC, path
		}
	}
	return nil, "", 0, ""
}

func (x batteryState) checkCold(c *rules.Check, p *rules.Pass) {
	mode, what, ambient, path := x.coldest(p)
	switch {
	case !x.Solved(c):
		return
	case what == "":
		c.Holds(true, "nothing charges %s", x.ID)
		return
	case !x.ChargeMinC.Known && (x.Chemistry != "lead-acid" || ambient < leadAcidMinC):
		c.NotChecked(x.Path()+".charge_min_C", "%s: charged at %s C %s; its lowest charging temperature is not stated", x.ID, rules.Figure(ambient), what)
		return
	}
	if mode != nil {
		c.In(mode.ID, "coldest ambient")
	}
	t := c.Given("T_a", "lowest ambient", ambient, "C", path)
	least := c.Or("T_min", "lowest charging temperature of "+x.ID, x.ChargeMinC, "C", x.Path()+".charge_min_C",
		leadAcidMinC, "common practice for lead-acid batteries")
	c.Holds(t >= least, "%s: charged at %s C %s, lowest charging temperature %s C", x.ID, rules.Figure(t), what, rules.Figure(least))
}
