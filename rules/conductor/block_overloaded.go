package conductor

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

func blockOverloaded() *rules.Rule {
	return &rules.Rule{
		ID:     "block-overloaded",
		Family: family,
		Title:  "a distribution block, or one of its ways, carries more than it is rated for",
		Why: "A block gathers the currents of a dozen thin wires, each far below its limit, in one small bar. It is the bar and its feed that run hot, " +
			"and the moulded base chars before a fuse knows of it.",
		Relation: "half the sum of the currents of all conductors at the block <= rated_A; the sum of those at one way <= rated_A of the way; " +
			"both continuous, or as the equivalent continuous current of the cycle; between a controller and its motor that of phase_continuous_A, as rms, with phase_peak_A for phase_peak_s after it",
		Source:   "thermal replica of IEC 60255-149, time constant of 10 min from memory; IEC 60947-7-1 (rated current of terminal blocks, from memory); Kirchhoff's current law",
		Level:    rules.Error,
		Required: 1,
		Vital:    []string{"blocks.rated_A", "controllers.phase_continuous_A"},
		Fix:      "use a larger block, or feed some of its consumers past it",
		Example: rules.Example{Vehicle: "mole", Subject: "house_returns", Edits: []rules.Edit{
			{Path: "blocks.house_returns.rated_A", Value: "3"}}},
		Check: checkBlocks,
	}
}

// block is a distribution block that is wired.
type block struct {
	*schema.Block
	node circuit.Node
	ways map[string][]*circuit.Edge // the conductors that end on each
	lugs []*circuit.Edge            // all of them
}

// blocks yields the blocks on which conductors end.
func blocks(p *rules.Pass, eval func(c *rules.Check, b block)) {
	for id, s := range schema.Sorted(p.Spec.Blocks) {
		ways := s.Terminals()
		if s.Spare || len(ways) == 0 {
			continue
		}
		b := block{Block: s, ways: map[string][]*circuit.Edge{}}
		b.node, _ = p.Circuit.Node(id + "." + ways[0].Name)
		var ends []string
		for _, e := range p.Circuit.ConductorsAt(b.node) {
			for _, way := range ways {
				if endsOn(p, e.ID, id+"."+way.Name) {
					b.ways[way.Name] = append(b.ways[way.Name], e)
					b.lugs = append(b.lugs, e)
				}
			}
		}
		for _, way := range ways {
			ends = append(ends, id+"."+way.Name)
		}
		if len(b.lugs) == 0 {
			continue
		}
		if c := p.Subject(id, s.Path()); !p.Unsound(c, ends...) {
			eval(c, b)
		}
	}
}

// limited is one piece of metal of a block, its bar or a way, with its rating.
type limited struct {
	joined
	path string
	d    demand.Duty
}

func checkBlocks(p *rules.Pass) {
	l := demand.For(p)
	blocks(p, func(c *rules.Check, b block) { evalBlock(c, l, b) })
}

func evalBlock(c *rules.Check, l *demand.Demands, b block) {
	if !b.RatedA.Known {
		c.NotChecked(b.Path()+".rated_A", "%s: what its bar carries is not given", b.ID)
		return
	}
	if modesUnknown(c, l, b.ID) {
		return
	}
	places := []limited{{joined: joined{name: b.ID, limitA: b.RatedA.Value, lugs: b.lugs, whole: b.node}, path: b.Path() + ".rated_A"}}
	for name, lugs := range schema.Sorted(b.ways) {
		if a := b.Ways[name].RatedA; a.Known {
			places = append(places, limited{joined: joined{name: b.ID + "." + name, limitA: a.Value, lugs: lugs, way: true}, path: b.Path() + ".ways." + name + ".rated_A"})
		}
	}
	var worst *limited
	for i := range places {
		x := &places[i]
		var unmeasured func(*rules.Check)
		x.d, unmeasured = jointDemand(l, x.joined)
		switch {
		case unmeasured != nil && i == 0:
			unmeasured(c) // what is not known of the bar is not known of its ways
			return
		case unmeasured == nil && (worst == nil || x.d.EqA/x.limitA > worst.d.EqA/worst.limitA):
			worst = x
		}
	}
	worst.d.In(c)
	worst.d.Explain(c.Working, worst.name, studTauS, "from memory")
	c.Given("I_n", "rated current of "+worst.name, worst.limitA, "A", worst.path)
	what := "a block"
	if worst.way {
		what = "a way"
	}
	c.Fix("use %s rated at least %s A", what, rules.Figure(rules.RoundUp(worst.d.EqA*l.Required(), 1)))
	c.AtMost(rules.Amperes(worst.d.EqA), rules.Amperes(worst.limitA), "%s: %s A %s, rated %s A", worst.name, rules.Figure(worst.d.EqA), worst.d.Said(), rules.Figure(worst.limitA))
}
