// Package catalogue is the one list of all rules.
package catalogue

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/contactor"
	"example.org/headroom/rules/converter"
	"example.org/headroom/rules/fuse"
	"example.org/headroom/rules/record"
	"example.org/headroom/rules/spec"
	"example.org/headroom/rules/wiring"
)

// All lists every rule, by family in the order of the current's path.
func All() []*rules.Rule {
	families := slices.Concat(
		spec.Rules(),
		wiring.Rules(),
		fuse.Rules(),
		contactor.Rules(),
		converter.Rules(),
	)
	return append(families, record.Rules(families)...)
}

// Find returns the rule of an id, or nil.
func Find(id string) *rules.Rule {
	for _, r := range All() {
		if r.ID == id {
			return r
		}
	}
	return nil
}
