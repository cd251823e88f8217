package measurement

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/capacity"
)

func senseLeadUnfused() *rules.Rule {
	return &rules.Rule{
		ID:     "sense-lead-unfused",
		Family: family,
		Title:  "a sense lead has no fuse at the shunt",
		Why: "A sense lead carries next to no current, so it is thin, and it runs all the way to the dashboard. " +
			"It starts at a shunt that is part of the main cable. Pinched against the other pole, or against a chassis that is connected to it, " +
			"it carries what the main fuse lets pass and burns along its whole length. " +
			"A shunt in the positive cable makes both leads positive, and the nearest grounded metal is the other pole. " +
			"A shunt at the pack's negative terminal avoids that: against the chassis and other negatives there is no voltage. " +
			"But the positive of its own loom or of the meter remains, and a fault to it ends at the shunt: " +
			"the pack-side lead carries it straight to the pack, the other one through the shunt. " +
			"So both need a fuse there too, unless every positive that may touch them is behind a fuse that protects the lead.",
		Relation: "from the pole of the shunt to the first fuse, or to the meter, each sense lead is at most policy.fuse_distance_m of conductor; " +
			"the fuse is rated 1 A at most. Leads that withstand what the fuses elsewhere in every loop through them let pass are excepted",
		Source:   "common practice; the distance by 33 CFR 183.455",
		Level:    rules.Error,
		Varies:   "note for a fuse above 1 A",
		Required: 1,
		Policy:   []string{"policy.fuse_distance_m"},
		Fix:      "fit a fuse of 1 A in the sense lead, right at the shunt",
		Example: rules.Example{Vehicle: "heron", Subject: "shunt.sense_a", Edits: []rules.Edit{
			{Path: "wires.w_sense_a_tap.length_m", Value: "0.6"}}},
		Check: checkSenseLeadUnfused,
	}
}

// senseFuseA is the rating, in A, that a fuse in a sense lead need not exceed:
// meters draw milliamperes from it. Common practice.
const senseFuseA = 1

func checkSenseLeadUnfused(p *rules.Pass) {
	for _, lead := range capacity.SenseLeads(p) {
		first := lead.Conductors[0]
		path := "wires." + first
		if bar, ok := p.Spec.Busbars[first]; ok {
			path = bar.Path()
		}
		c := p.Subject(lead.Pole, path)
		if !p.Unsound(c, lead.Pole) {
			checkSenseLead(c, p, lead)
		}
	}
}

func checkSenseLead(c *rules.Check, p *rules.Pass, lead capacity.SenseLead) {
	c.Related("shunts."+lead.Shunt, "the shunt")
	allowed := p.Spec.Policy.FuseDistanceM
	far := lead.UnfusedM > allowed*(1+1e-9)
	switch {
	case lead.Suited:
		c.Holds(true, "sense lead from %s: withstands what the fuses in every loop through it let pass", lead.Pole)
		return
	case far && lead.Missing != nil:
		c.NotChecked(lead.Missing.Path, "sense lead from %s: no fuse at the shunt; whether a fuse elsewhere protects it depends on %s", lead.Pole, lead.Missing.What)
		return
	case !far && tooLarge(c, p, lead):
		return
	}
	c.Solved("l", "conductor from "+lead.Pole+" "+where(lead), lead.UnfusedM, "m", "longest way over the conductors")
	c.Default("l_max", "length allowed without a fuse", allowed, "m", "policy.fuse_distance_m")
	c.Fix("fit a fuse of %d A in %s within %s m of %s", senseFuseA, lead.Conductors[0], rules.Figure(allowed), lead.Shunt)
	c.AtMost(rules.Quantity{Value: lead.UnfusedM, Unit: "m"}, rules.Quantity{Value: allowed, Unit: "m"},
		"sense lead from %s: %s m %s, limit %s m", lead.Pole, rules.Figure(lead.UnfusedM), where(lead), rules.Figure(allowed))
}

// where says how far a lead runs without a fuse.
func where(lead capacity.SenseLead) string {
	if len(lead.Bare) > 0 {
		return "to " + rules.And(lead.Bare) + " with no fuse"
	}
	return "to its fuse " + rules.And(lead.Fuses)
}

// tooLarge gives the verdict on a fuse at the right place that is larger than it
// need be.
func tooLarge(c *rules.Check, p *rules.Pass, lead capacity.SenseLead) bool {
	for _, id := range lead.Fuses {
		f := p.Circuit.Device(id)
		if f.RatedA <= senseFuseA {
			continue
		}
		c.Related(f.Path(), "the fuse")
		c.Given("I_n", "rated current of "+id, f.RatedA, "A", f.Path()+".rated_A")
		c.Level(rules.Note).Fix("use a fuse of %d A or less for %s", senseFuseA, id).
			Fail("%s: rated %s A in the sense lead from %s; %d A is enough for the milliamperes of a meter and protects thin leads", id, rules.Figure(f.RatedA), lead.Pole, senseFuseA)
		return true
	}
	return false
}
