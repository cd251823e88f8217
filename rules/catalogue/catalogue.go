// Package catalogue is the one list of all rules.
package catalogue

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/battery"
	"example.org/headroom/rules/bms"
	"example.org/headroom/rules/busbar"
	"example.org/headroom/rules/conductor"
	"example.org/headroom/rules/connector"
	"example.org/headroom/rules/contactor"
	"example.org/headroom/rules/controller"
	"example.org/headroom/rules/converter"
	"example.org/headroom/rules/disconnect"
	"example.org/headroom/rules/fuse"
	"example.org/headroom/rules/measurement"
	"example.org/headroom/rules/motor"
	"example.org/headroom/rules/precharge"
	"example.org/headroom/rules/record"
	"example.org/headroom/rules/solar"
	"example.org/headroom/rules/spec"
	"example.org/headroom/rules/switches"
	"example.org/headroom/rules/waiver"
	"example.org/headroom/rules/wiring"
)

// All lists every rule, by family in the order of the current's path.
func All() []*rules.Rule {
	families := slices.Concat(
		spec.Rules(),
		wiring.Rules(),
		battery.Rules(),
		bms.Rules(),
		fuse.Rules(),
		conductor.Rules(),
		busbar.Rules(),
		disconnect.Rules(),
		connector.Rules(),
		contactor.Rules(),
		precharge.Rules(),
		switches.Rules(),
		measurement.Rules(),
		converter.Rules(),
		solar.Rules(),
		controller.Rules(),
		motor.Rules(),
		waiver.Rules(),
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
