package motor

import (
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func motorCutoutMissing() *rules.Rule {
	return &rules.Rule{
		ID:     "motor-cutout-missing",
		Family: family,
		Title:  "nothing watches the temperature of the motor's winding",
		Why: "A blocked fan, mud on the case or a long ramp in August: the currents are all within their ratings, and the winding is too hot even so. " +
			"Only something in the winding notices.",
		Relation: "a thermal cut-out that guards it is drawn in the circuit of a coil or enable input, or thermal_cutout is true: a sensor that the controller reads, or a cut-out in its enable input, is wired",
		Source:   "IEC 60034-11 (thermal protection built into machines, from memory); common practice",
		Level:    rules.Warning,
		Vital:    []string{"motors.thermal_cutout"},
		Fix:      "wire the winding's sensor to the controller, or a cut-out into its enable input",
		Example: rules.Example{Vehicle: "mole", Subject: "motor", Edits: []rules.Edit{
			{Path: "motors.motor.thermal_cutout", Value: "false"}}},
		Check: checkCutout,
	}
}

func checkCutout(p *rules.Pass) {
	each(p, func(c *rules.Check, d drive) {
		path := d.Path() + ".thermal_cutout"
		for id, k := range schema.Sorted(p.Spec.Cutouts) {
			if k.Guards == d.ID && !k.Spare && p.Circuit.CutsOff(id) && (d.ThermalCutout == nil || *d.ThermalCutout) {
				c.Related(k.Path(), "on its winding")
				c.Holds(true, "%s: its cut-out %s opens the circuit of a coil or enable input", d.ID, id)
				return
			}
		}
		if d.ThermalCutout == nil {
			c.NotChecked(path, "%s: whether something watches the temperature of its winding is not stated", d.ID)
			return
		}
		c.AsDeclared(path, "a sensor or cut-out in the winding of "+d.ID+" ends the drive when it is hot")
		c.Holds(*d.ThermalCutout, "%s: a sensor or cut-out in its winding ends the drive when it is hot: %v", d.ID, map[bool]string{true: "yes", false: "no"}[*d.ThermalCutout])
	})
}
