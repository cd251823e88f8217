package fuse

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func internalBreakingLow() *rules.Rule {
	return &rules.Rule{
		ID:     "internal-fuse-breaking-low",
		Family: family,
		Title:  "the breaking capacity of the fuse inside a battery is below the short-circuit current",
		Why: "Where no other fuse protects the cables of a battery, the one inside it has to interrupt their short circuit. " +
			"A fuse that cannot bursts inside the pack, among the cells.",
		Relation: "where a conductor beyond the fuse distance relies on it: internal_fuse_breaking_A >= I_k = V_max / R_b,min, the prospective current of a short circuit at the battery's terminals",
		Source:   "IEC 60269-1 (breaking capacity against the prospective current; clauses from memory)",
		Level:    rules.Error,
		Required: 1,
		Policy:   []string{"policy.battery_resistance_min_factor"},
		Vital:    []string{"batteries.internal_fuse_breaking_A"},
		Fix:      "fit a main fuse with a known DC breaking capacity at the battery's terminal",
		Example: rules.Example{Vehicle: "heron", Subject: "pack", Edits: []rules.Edit{
			{Path: "wires.w_pack_fuse.length_m", Value: "2.4"},
			{Path: "batteries.pack.internal_fuse_A", Value: "120"},
			{Path: "batteries.pack.internal_fuse_breaking_A", Value: "1000"}}},
		Check: checkInternalBreaking,
	}
}

func checkInternalBreaking(p *rules.Pass) {
	relied := map[string]string{} // by battery, a conductor
	guards := p.Circuit.Guards()
	for id := range p.Spec.Conductors() {
		for _, g := range guards[id] {
			if !g.Relies() {
				continue
			}
			list := g.Inside.Batteries
			if !g.Inside.Together {
				list = list[:1] // the smallest of those in series
			}
			for _, battery := range list {
				if relied[battery] == "" {
					relied[battery] = id
				}
			}
		}
	}
	for id, b := range schema.Sorted(p.Spec.Batteries) {
		if b.Spare || relied[id] == "" {
			continue
		}
		c := p.Subject(id, b.Path())
		if p.Unsound(c, id+".pos", id+".neg") {
			continue
		}
		c.Related(p.Spec.Conductor(relied[id]).Path(), "relies on the fuse inside "+id)
		evalInternalBreaking(newSupply(p), c, b)
	}
}

func evalInternalBreaking(s *supply, c *rules.Check, b *schema.Battery) {
	path := b.Path() + ".internal_fuse_breaking_A"
	if !b.InternalFuseBreakingA.Known {
		c.NotChecked(path, "%s: the DC breaking capacity of the fuse inside it is not declared", b.ID)
		return
	}
	e := s.Circuit.Edge(b.ID)
	var others []string
	for id := range schema.Sorted(s.Spec.Batteries) {
		if id != b.ID {
			others = append(others, id)
		}
	}
	fault, ok := s.Circuit.Fault(e.From, e.To, circuit.FaultCase{Greatest: true, Prospective: true, Without: strings.Join(others, " ")})
	if !ok {
		c.NotChecked("a short circuit at "+b.ID, "%s: its short-circuit current cannot be computed", b.ID)
		return
	}
	c.Given("V_max", "end-of-charge voltage of "+b.ID, b.MaxV, "V", b.Path()+".max_V")
	if _, err := demand.BatteryResistance(s.Pass, c.Working, b.ID, circuit.Least); err != nil {
		unknown(c, err)
		return
	}
	c.In("", "pack full and warm, short circuit at its terminals")
	i := c.Solved("I_k", "short-circuit current through the fuse inside "+b.ID, fault.BatteriesA, "A", "V_max / R_b,min")
	can := c.Given("I_1", "DC breaking capacity of the fuse inside "+b.ID, b.InternalFuseBreakingA.Value, "A", path)
	c.Fix("fit a main fuse with a DC breaking capacity of at least %s A at %s.pos", rules.Figure(rules.RoundUp(s.Required()*i, breakingStepA)), b.ID)
	c.AtMost(rules.Amperes(i), rules.Amperes(can), "%s: prospective fault current %s A, breaking capacity of the fuse inside it %s A", b.ID, rules.Figure(i), rules.Figure(can))
}
