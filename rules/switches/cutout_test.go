package switches

import (
	"slices"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// withCutout puts a cut-out that sits on a motor between key and coil, and a contactor in
// the place of the relay's coil; more edits follow.
func withCutout(edits ...string) []rules.Edit {
	return slices.Concat(ruletest.Edits(
		"motors.m", `{"kind": "permanent-magnet", "limit_C": 155}`,
		"cutouts.tc", `{"guards": "m", "opens_C": 130, "reset": "automatic", "contact": {"carry_A": 2.5, "rated_V_dc": 30}}`,
		"contactors.k", `{"contact": {"carry_A": 100}, "coil": {"nominal_V": 12, "operate_V": 7, "release_V": 1.2, "resistance_Ohm": 24}}`,
		"wires.k2.to", `"tc.a"`, "wires.k4", `{"from": "tc.b", "to": "k.coil_pos", "size": "70 mm2", "length_m": 0.01}`,
		"wires.k3.from", `"k.coil_neg"`), ruletest.Edits(edits...))
}
