package contactor

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func weldUnnoticed() *rules.Rule {
	return &rules.Rule{
		ID:     "weld-unnoticed",
		Family: family,
		Title:  "nothing tells that the main contactor has welded",
		Why: "A welded contactor looks like a good one: the vehicle starts and drives. Only when key or emergency stop are needed does nothing open. Until then " +
			"each start is made past the pre-charge, and nobody knows.",
		Relation: "on the road, or above 60 V: a mirror contact of the contactor is wired, or the controller behind it checks that its voltage falls (weld_check). A plain or linked auxiliary contact " +
			"proves nothing, and the voltage does not fall where a resistor holds it up with the key off",
		Source: "IEC 60947-4-1 annex F (mirror contacts), IEC 60947-5-1 annex L (linked ones); common practice",
		Level:  rules.Note,
		Varies: "warning where the check that is declared cannot work",
		Fix:    "use a contactor with a mirror contact and lead it to what permits the start; or measure the voltage behind the open contactor at each check of the vehicle",
		Example: rules.Example{Vehicle: "heron", Subject: "main_contactor", Edits: []rules.Edit{
			{Path: "controllers.drive.weld_check", Value: "false"}}},
		Check: checkWeldUnnoticed,
	}
}

func checkWeldUnnoticed(p *rules.Pass) {
	key, found := newCutoff(p, "key", true)
	if !found {
		key = handCutoff(p)
	}
	key.resistors = true
	for _, d := range drives(p) {
		k := p.Spec.Contactors[d.id]
		c := p.Subject(d.id, d.base.Path())
		if p.Unsound(c, d.id+".a", d.id+".b") {
			continue
		}
		v, err := demand.HighestVoltage(p, c.Working, d.sources(p))
		if v <= calc.ClassALimitV && !p.Spec.Vehicle.OnRoad() {
			// Whether regeneration lifts it above that decides whether it matters.
			demand.VoltageUnknown(c, err, true, "of the circuit of "+d.id)
			continue
		}
		evalWeld(c, p, key, d, k)
	}
}

func evalWeld(c *rules.Check, p *rules.Pass, key *cutoff, d switched, k *schema.Contactor) {
	wired := k.Auxiliary != nil && p.Circuit.Connected(d.id+".aux_a") && p.Circuit.Connected(d.id+".aux_b")
	if wired && k.Auxiliary.Kind == "mirror" {
		c.GivenText("kind", "auxiliary contact of "+d.id, "mirror", d.base.Path()+".auxiliary.kind")
		c.Holds(true, "%s has a mirror contact, which stays open while a power contact is welded", d.id)
		return
	}
	for _, id := range d.ids {
		controller := p.Spec.Controllers[id]
		if !controller.WeldCheck {
			continue
		}
		c.GivenText("weld_check", "declared of "+id, "true", controller.Path()+".weld_check")
		if path := key.path(p.Circuit.Edge(id)); path != nil {
			c.GivenText("path", "what holds its voltage up with the key off", names(path), controller.Path())
			c.Level(rules.Warning).Fix("connect the pre-charge through a contact that opens with the key, or use a contactor with a mirror contact")
			switch through := slices.ContainsFunc(path, func(e *circuit.Edge) bool { return e.Part == d.id }); {
			case through && d.coil.Latching:
				c.Because("contactor-stays-latched", d.id)
			case through:
				c.Because("contactor-not-keyed", d.id)
			default:
				c.Because("contactor-bypassed", d.id)
			}
			c.Fail("%s is to tell from its voltage whether %s has opened, but %s holds it up with the key off", id, d.id, partNames(path))
			return
		}
		c.AsDeclared(controller.Path()+".weld_check", id+" finds a welded "+d.id+" by the voltage that does not fall")
		c.Holds(true, "%s checks after each opening that its voltage falls", id)
		return
	}
	if wired {
		c.GivenText("kind", "auxiliary contact of "+d.id, k.Auxiliary.Kind, d.base.Path()+".auxiliary.kind")
		c.Fail("nothing tells that %s has welded: its auxiliary contact is %s, and moves with the armature, not with the power contact", d.id, k.Auxiliary.Kind)
		return
	}
	c.Fail("nothing tells that %s has welded", d.id)
}
