package wiring

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func stringLinkLong() *rules.Rule {
	return &rules.Rule{
		ID:     "string-link-long",
		Family: family,
		Title:  "an unfused link between batteries of a string is long",
		Why: "A link between boxes is inside the battery only on the diagram. Two links that chafe through to the same metalwork short the batteries between them, " +
			"and the main fuse is not in that loop; where the string is connected to the chassis, one is enough.",
		Relation: "a link between two batteries of a string without a fuse has no point farther than the fuse distance from the nearer of them: its length is at most twice 0.178 m, twice 1.016 m in a sheath or an enclosure",
		Source:   "33 CFR 183.455 (distances, from either end); common practice for links between boxes",
		Level:    rules.Warning,
		Varies:   "error where the string is connected to the chassis",
		Required: 1,
		Policy:   []string{"policy.fuse_distance_m", "policy.fuse_distance_sheathed_m"},
		Fix:      "fit a fuse in the link, run it in a sheath or an enclosure, or move the boxes together",
		Example: rules.Example{Vehicle: "heron", Subject: "link", Edits: []rules.Edit{
			{Path: "batteries.pack2", Value: `{"role": "traction", "min_V": 10, "nominal_V": 12, "max_V": 14, "resistance_mOhm": 3}`},
			{Path: "wires.link", Value: `{"from": "pack2.neg", "to": "pack.pos", "size": "50 mm2", "length_m": 0.5, "insulation": {"max_C": 105, "rated_V": 600}}`},
			{Path: "wires.w_pack_fuse.from", Value: `"pack2.pos"`}}},
		Check: checkStringLinks,
	}
}

func checkStringLinks(p *rules.Pass) {
	for id, conductor := range p.Spec.Conductors() {
		e := p.Circuit.Edge(id)
		if conductor.Spare || e == nil || !p.Circuit.IsStringLink(e) {
			continue
		}
		c := p.Subject(id, conductor.Path())
		if p.Unsound(c, conductor.From, conductor.To) {
			continue
		}
		evalStringLink(c, p, id, e)
	}
}

func evalStringLink(c *rules.Check, p *rules.Pass, id string, e *circuit.Edge) {
	length, path := 0.0, p.Spec.Conductor(id).Path()
	if w, ok := p.Spec.Wires[id]; ok {
		length = c.Given("l", "length of "+id, w.LengthM, "m", path+".length_m")
	} else {
		mm := c.Given("l", "length of "+id, p.Spec.Busbars[id].LengthMM, "mm", path+".length_mm")
		length = c.Calc("l_m", "in metres", "l / 1000", rules.Term(mm)+" / 1000", mm/1000, "m")
	}
	policy := p.Spec.Policy
	distance, from := policy.FuseDistanceM, "policy.fuse_distance_m"
	if p.Circuit.Covered(id) {
		distance, from = policy.FuseDistanceSheathedM, "policy.fuse_distance_sheathed_m"
	}
	c.Default("d", "length allowed without a fuse", distance, "m", from)
	twice := c.Calc("l_max", "longest link without a fuse, from either end", "2 d", "2 * "+rules.Term(distance), 2*distance, "m")
	if chassis, ok := p.Circuit.Node(schema.Chassis); ok && p.Circuit.SameNetwork(chassis, e.From) {
		c.Level(rules.Error)
	}
	c.AtMost(rules.Quantity{Value: length, Unit: "m"}, rules.Quantity{Value: twice, Unit: "m"},
		"%s links two batteries without a fuse over %s m, allowed %s m", id, rules.Figure(length), rules.Figure(twice))
}
