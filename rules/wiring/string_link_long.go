package wiring

import (
	"strings"

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
		Relation: "a link between two batteries of a string without a fuse has no point farther than the fuse distance from the nearer of them: its length is at most twice 0.178 m, twice 1.016 m in a sheath or an enclosure; studs and bars within it are part of the link",
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
		if conductor.Spare || e == nil {
			continue
		}
		link, ok := p.Circuit.StringLink(e)
		if !ok || id != longest(p, link) {
			continue
		}
		c := p.Subject(id, conductor.Path())
		if p.Unsound(c, conductor.From, conductor.To) {
			continue
		}
		evalStringLink(c, p, id, link)
	}
}

// longest is the conductor of a link that has the result of all of it: the longest, of
// equal ones the first by id.
func longest(p *rules.Pass, link circuit.StringLink) string {
	metres := func(id string) float64 {
		if w, ok := p.Spec.Wires[id]; ok {
			return w.LengthM
		}
		return p.Spec.Busbars[id].LengthMM / 1000
	}
	best := link.Conductors[0]
	for _, id := range link.Conductors {
		if metres(id) > metres(best)*(1+1e-9) {
			best = id
		}
	}
	return best
}

func evalStringLink(c *rules.Check, p *rules.Pass, id string, link circuit.StringLink) {
	if chassis, ok := p.Circuit.Node(schema.Chassis); ok && p.Circuit.SameNetwork(chassis, p.Circuit.Edge(id).From) {
		c.Level(rules.Error)
	}
	explainLength(c, p, link)
	// Of a link that is covered in part, what lies bare keeps to the short distance.
	policy := p.Spec.Policy
	length, distance, from, which := link.M, policy.FuseDistanceSheathedM, "policy.fuse_distance_sheathed_m", "without a fuse"
	if bare := link.BareM; bare > 0 && bare/policy.FuseDistanceM >= length/distance {
		length, distance, from = bare, policy.FuseDistanceM, "policy.fuse_distance_m"
		if bare < link.M {
			c.Solved("l_bare", "of which bare", bare, "m", "neither sheathed nor enclosed")
			which = "bare and without a fuse"
		}
	}
	c.Default("d", "length allowed "+which, distance, "m", from)
	twice := c.Calc("l_max", "longest link "+which+", from either end", "2 d", "2 * "+rules.Term(distance), 2*distance, "m")
	what := id + " links"
	if len(link.Conductors) > 1 {
		what = rules.And(link.Conductors) + " link"
	}
	c.AtMost(rules.Quantity{Value: length, Unit: "m"}, rules.Quantity{Value: twice, Unit: "m"},
		"%s two batteries %s over %s m, allowed %s m", what, which, rules.Figure(length), rules.Figure(twice))
}

// explainLength adds how the length of a link comes about to a working.
func explainLength(c *rules.Check, p *rules.Pass, link circuit.StringLink) {
	var terms []string
	for _, id := range link.Conductors {
		path := p.Spec.Conductor(id).Path()
		if w, ok := p.Spec.Wires[id]; ok {
			terms = append(terms, rules.Term(c.Given("l", "length of "+id, w.LengthM, "m", path+".length_m")))
			continue
		}
		mm := c.Given("l", "length of "+id, p.Spec.Busbars[id].LengthMM, "mm", path+".length_mm")
		terms = append(terms, rules.Term(c.Calc("l_m", "in metres", "l / 1000", rules.Term(mm)+" / 1000", mm/1000, "m")))
	}
	if len(terms) > 1 {
		c.Calc("l_sum", "length of the link", "sum of l", strings.Join(terms, " + "), link.M, "m")
	}
}
