// Package busbar holds the rules of the busbar family: what bars carry, what a
// short circuit does to them, and how far their bare metal is from that of
// the other pole.
package busbar

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/demand"
	"example.org/headroom/schema"
)

// family is what the rules of this package belong to.
const family = "busbar"

// Rules lists the rules of the family.
func Rules() []*rules.Rule {
	return []*rules.Rule{
		busbarOverloaded(),
		busbarPeakHot(),
		busbarForceHigh(),
		busbarVoltageLow(),
		busbarOverlapShort(),
		busbarHoleWide(),
		clearanceSmall(),
		creepageSmall(),
	}
}

// bars yields the wired bars, each with a check in the making.
func bars(p *rules.Pass, eval func(c *rules.Check, l *demand.Demands, b *schema.Busbar)) {
	l := demand.For(p)
	for id, b := range schema.Sorted(p.Spec.Busbars) {
		if b.Spare || p.Circuit.Edge(id) == nil {
			continue
		}
		c := p.Subject(id, b.Path())
		if !p.Unsound(c, b.From, b.To) {
			eval(c, l, b)
		}
	}
}

func millimetres(v float64) rules.Quantity { return rules.Quantity{Value: v, Unit: "mm"} }
