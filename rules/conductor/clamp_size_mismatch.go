package conductor

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/schema"
)

func clampSizeMismatch() *rules.Rule {
	return &rules.Rule{
		ID:     "clamp-size-mismatch",
		Family: family,
		Title:  "a wire does not fit the clamp of a distribution block",
		Why: "A thin wire in a large clamp is held by a few strands and works loose; a thick one is made thinner with a knife. Two under a screw made for one: " +
			"the second holds the first only until it settles. Each of these joints runs hot long before the wire does.",
		Relation: "the section of each wire lies between those of clamp.min and clamp.max of its way, and no more than clamp.wires end on it",
		Source:   "IEC 60947-7-1 and IEC 60999-1 (connecting capacity of clamping units), from memory; common practice",
		Level:    rules.Error,
		Fix:      "use a way whose clamp is made for that size, one wire in each",
		Example: rules.Example{Vehicle: "mole", Subject: "house_returns", Edits: []rules.Edit{
			{Path: "wires.w_pump_neg.size", Value: `"16 mm2"`}}},
		Check: checkClamps,
	}
}

func checkClamps(p *rules.Pass) {
	blocks(p, func(c *rules.Check, b block) {
		for name, way := range schema.Sorted(b.Ways) {
			if way.Clamp != nil && exchanged(c, b, name, *way.Clamp) {
				return
			}
		}
		clamped := false
		for name, lugs := range schema.Sorted(b.ways) {
			clamp := b.Ways[name].Clamp
			if clamp == nil {
				continue
			}
			clamped = true
			if !fitsClamp(c, p, b, name, *clamp, lugs) {
				return
			}
		}
		if clamped {
			c.Holds(true, "%s: its clamps hold the wires that end on them", b.ID)
		}
	})
}

// exchanged reports a clamp whose smallest size is above its largest.
func exchanged(c *rules.Check, b block, name string, clamp schema.Clamp) bool {
	least, _ := calc.ParseSize(clamp.Min)
	most, _ := calc.ParseSize(clamp.Max)
	if least.AreaMM2 <= most.AreaMM2*(1+1e-9) {
		return false
	}
	path := b.Path() + ".ways." + name + ".clamp"
	c.GivenText("S_min", "smallest size for "+b.ID+"."+name, clamp.Min, path+".min")
	c.GivenText("S_max", "largest size for "+b.ID+"."+name, clamp.Max, path+".max")
	c.Fix("exchange min and max, or correct the one that was mistyped")
	c.Fail("%s: the clamp of %s is said to hold %s to %s, of which the first is the larger", b.ID, name, clamp.Min, clamp.Max)
	return true
}

// fitsClamp reports a way whose clamp does not hold what ends on it.
func fitsClamp(c *rules.Check, p *rules.Pass, b block, name string, clamp schema.Clamp, lugs []*circuit.Edge) bool {
	path, ids := b.Path()+".ways."+name+".clamp", make([]string, len(lugs))
	// The schema permits sizes of its tables alone.
	least, _ := calc.ParseSize(clamp.Min)
	most, _ := calc.ParseSize(clamp.Max)
	for i, e := range lugs {
		ids[i] = e.ID
		w := p.Spec.Wires[e.ID]
		if w == nil {
			continue // a bar
		}
		size, _ := calc.ParseSize(w.Size)
		if size.AreaMM2 >= least.AreaMM2*(1-1e-9) && size.AreaMM2 <= most.AreaMM2*(1+1e-9) {
			continue
		}
		c.GivenText("S_min", "smallest size for "+b.ID+"."+name, clamp.Min, path+".min")
		c.GivenText("S_max", "largest size for "+b.ID+"."+name, clamp.Max, path+".max")
		c.GivenText("S", "size of "+e.ID, w.Size, w.Path()+".size")
		c.Related(w.Path(), "the wire")
		c.Fail("%s: %s has %s; the clamp of %s holds %s to %s", b.ID, e.ID, w.Size, name, clamp.Min, clamp.Max)
		return false
	}
	if len(ids) > clamp.Wires {
		c.GivenText("wires", "conductors on "+b.ID+"."+name, strings.Join(ids, ", "), path)
		c.Fail("%s: %s end on %s, whose clamp is made for %d", b.ID, rules.And(ids), name, clamp.Wires)
		return false
	}
	return true
}
