package contactor

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

func suppressionMissing() *rules.Rule {
	return &rules.Rule{
		ID:     "suppression-missing",
		Family: family,
		Title:  "nothing takes the energy of a coil at switch-off",
		Why: "A coil that is switched off drives its voltage up until something gives: hundreds of volts that burn the key's contacts, " +
			"kill the driver and upset electronics on the same feed.",
		Relation: "a suppression in the coil, in a coil in parallel with it, or across it",
		Source:   "relay application notes; common practice",
		Level:    rules.Warning,
		Fix:      "add a diode with a zener diode, or a bidirectional suppressor, across the coil",
		Example: rules.Example{Vehicle: "badger", Subject: "pump_contactor", Edits: []rules.Edit{
			{Path: "contactors.pump_contactor.coil.suppression", Value: `"none"`},
			{Path: "contactors.pump_contactor.coil.clamp_V"}}},
		Check: checkSuppression,
	}
}

func checkSuppression(p *rules.Pass) {
	for _, d := range devices(p) {
		c, ok := onCoil(p, d)
		if !ok {
			continue
		}
		clamps := d.clamps(p)
		if d.coil.Suppression != "" {
			c.GivenText("suppression", "suppression of the coil", d.coil.Suppression, d.coilPath("suppression"))
		}
		var by []string
		for _, k := range clamps {
			by = append(by, k.String())
		}
		wrong := d.reversed(p)
		if len(clamps) == 0 && len(wrong) > 0 {
			c.Because("suppression-reversed", d.firstOf(p, wrong))
		}
		switch {
		case len(clamps) > 0:
			c.Holds(true, "the energy of the coil of %s is taken by %s", d.id, strings.Join(by, ", "))
		case d.driven(p) && d.coil.Suppression == "external":
			c.Holds(true, "the driver of the coil of %s takes its energy", d.id)
		case len(wrong) > 0:
			c.Fail("%s lies across the coil of %s the wrong way round and takes none of its energy", wrong[0].names(), d.id)
		case d.coil.Suppression == "external":
			c.Fail("the suppression of %s is declared external, but no diode or resistor lies across its coil", d.id)
		case d.coil.Suppression == "none":
			c.Fail("nothing takes the energy of the coil of %s at switch-off", d.id)
		default:
			c.NotChecked(d.coilPath("suppression"), "%s does not say what suppresses its coil", d.id)
		}
	}
}

// driven reports whether a controller's output switches the coil.
func (d device) driven(p *rules.Pass) bool {
	return slices.ContainsFunc(d.feeds(p), func(f feed) bool {
		return slices.ContainsFunc(f.path, func(e *circuit.Edge) bool {
			o, ok := openerOf(p, e)
			return ok && o.role == "driver"
		})
	})
}
