package disconnect

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

func breakerAsDisconnect() *rules.Rule {
	return &rules.Rule{
		ID:     "breaker-as-disconnect",
		Family: family,
		Title:  "a circuit breaker that serves as the disconnect is not rated for daily switching",
		Why: "A breaker is made to trip a few times in its life. Switched off each evening its latch wears, until it no longer trips: " +
			"a military specification says in so many words that breakers are not switches.",
		Relation: "the breaker that is the only disconnect of a traction battery states operations, of at least 3000: 300 days in 10 years",
		Source:   "MIL-PRF-39019F, 6.1.1 (circuit breakers are not switches); 300 days in 10 years: common practice",
		Level:    rules.Warning,
		Required: 1,
		Fix:      "use a breaker whose sheet states that many operations, or put a disconnect beside it",
		Example: rules.Example{Vehicle: "mole", Subject: "isolator_breaker", Edits: []rules.Edit{
			{Path: "breakers.isolator_breaker", Value: `{"kind": "thermal", "standard": "IEC 60947-2", "rated_A": 250, "isolates": true}`},
			{Path: "disconnects.isolator.spare", Value: "true"},
			{Path: "wires.w_fuse_isolator.to", Value: `"isolator_breaker.a"`},
			{Path: "wires.w_isolator_plus.from", Value: `"isolator_breaker.b"`}}},
		Check: checkBreakerAsDisconnect,
	}
}

// dailyUses is how often a disconnect is opened and closed in its life (common practice).
const dailyUses = 3000

func checkBreakerAsDisconnect(p *rules.Pass) {
	only := map[string]string{} // by breaker, the string that it alone disconnects
	for _, s := range p.Circuit.Strings() {
		if s[0].Role != "traction" {
			continue
		}
		by, _ := separators(p, s)
		for _, id := range by {
			if !slices.ContainsFunc(by, func(id string) bool { return p.Spec.Disconnects[id] != nil }) {
				only[id] = s.Name()
			}
		}
	}
	for id, b := range schema.Sorted(p.Spec.Breakers) {
		name, serves := only[id]
		if !serves || b.Spare {
			continue
		}
		c := p.Subject(id, b.Path())
		if p.Unsound(c, id+".a", id+".b") {
			continue
		}
		if !b.Operations.Known {
			c.Fix("give operations from its sheet, at least %d, or put a disconnect beside it", dailyUses)
			c.Fail("%s is the only disconnect of %s, and for how many operations it is made is not stated", id, name)
			continue
		}
		need := c.Default("n", "operations in its life, 300 days in 10 years", dailyUses, "", "common practice")
		have := c.Given("n_max", "operations that it is made for", b.Operations.Value, "", b.Path()+".operations")
		c.AtMost(rules.Quantity{Value: need, Unit: "operations"}, rules.Quantity{Value: have, Unit: "operations"}, "%s, the only disconnect of %s: switched %s times in its life, made for %s", id, name, rules.Figure(need), rules.Figure(have))
	}
}
