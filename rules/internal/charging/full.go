package charging

import (
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

// ExplainFull adds the voltage in V of the full battery, or string of batteries, of
// a node's network to a working, and returns it; not ok if it has none.
func ExplainFull(p *rules.Pass, w *rules.Working, at circuit.Node) (v float64, ok bool) {
	var fullest []circuit.Source
	for _, s := range p.Circuit.Sources() {
		if !s.IsBattery() || !p.Circuit.SameNetwork(s.Pos, at) {
			continue
		}
		list := p.Circuit.StringOf(s)
		var sum float64
		for _, b := range list {
			sum += b.MaxV
		}
		if sum > v {
			v, fullest = sum, list
		}
	}
	if v == 0 {
		return 0, false
	}
	var numbers []string
	for _, s := range fullest {
		numbers = append(numbers, rules.Term(w.Given("V_"+s.ID, "highest voltage of "+s.ID, s.MaxV, "V", s.Path+".max_V")))
	}
	return w.Calc("V_w", "voltage of the full battery at rest", "sum over its string", strings.Join(numbers, " + "), v, "V"), true
}
