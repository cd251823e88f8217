package wiring

import (
	"slices"
	"strings"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/internal/demand"
)

func circuitUnsolved() *rules.Rule {
	return &rules.Rule{
		ID:     "circuit-unsolved",
		Family: family,
		Title:  "the circuit of a mode could not be solved",
		Why: "Nothing computed for such a mode can be trusted. The cause is mostly a value that no real part has, " +
			"or two sources that contradict each other.",
		Relation: "the solution converges, and the currents at every node balance to within a millionth of the largest",
		Source:   "Kirchhoff's current law",
		Level:    rules.Error,
		Fix:      "correct the unlikely values of the parts used in the mode, such as a resistance close to zero",
		Example: rules.Example{Vehicle: "heron", Subject: "climb", Edits: []rules.Edit{
			{Path: "policy.converter_output_mOhm", Value: "1e-9"}}},
		Check: checkCircuitUnsolved,
	}
}

func checkCircuitUnsolved(p *rules.Pass) {
	for _, mode := range p.Circuit.States() {
		c := p.Subject(mode, "modes."+mode)
		var failed []string
		for _, k := range []circuit.Case{demand.Nominal(mode), demand.Weak(mode), demand.FlatAlone(mode)} {
			if s := p.Circuit.Solve(k); s.Failed != "" && !slices.Contains(failed, s.Failed) {
				failed = append(failed, s.Failed)
			}
		}
		if len(failed) > 0 {
			c.Fail("mode %s could not be solved: %s", mode, failed[0])
			continue
		}
		c.Holds(true, "mode %s is solved", mode)
	}
	// No other check mentions a mode that could not be read, and each may pass
	// for lack of it.
	for _, path := range p.Spec.Broken() {
		if mode, is := strings.CutPrefix(path, "modes."); is {
			p.Subject(mode, path).NotChecked(path, "mode %s contains a mistake: no result takes it into account", mode)
		}
	}
}
