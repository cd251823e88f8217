package fuse

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The lamp's current comes and goes with a relay that breaks the feed of its own
// coil; that of the main fuse with it, for it feeds the branch. The house fuse
// behind the converter, which holds its voltage, knows nothing of it.
func TestChatterIsNotCheckedOn(t *testing.T) {
	wire := func(from, to string) string {
		return `{"from": "` + from + `", "to": "` + to + `", "size": "2.5 mm2", "length_m": 0.5, "insulation": {"max_C": 90, "rated_V": 600, "material": "XLPE"}}`
	}
	buzzer := ruletest.Edits(
		"relays.buzzer", `{"form": "nc", "contact": {"carry_A": 10}, "coil": {"nominal_V": 48, "operate_V": 20, "release_V": 4, "resistance_Ohm": 500}}`,
		"wires.w_lamp", wire("branch.b", "buzzer.common"), "wires.x1", wire("buzzer.nc", "lamp.pos"),
		"wires.x2", wire("buzzer.nc", "buzzer.coil_pos"), "wires.x3", wire("buzzer.coil_neg", "lamp.neg"), "wires.w_in.from", `"branch.b"`,
	)
	for _, rule := range []*rules.Rule{overloaded(), opensInUse()} {
		results := fixture.On(t, rule, buzzer...)
		for fuse, want := range map[string]rules.Verdict{"branch": rules.NotChecked, "main": rules.NotChecked, "house": rules.Passed} {
			switch r := results[fuse]; {
			case r.Verdict != want:
				t.Errorf("%s on %s: %s, want %s: %s", rule.ID, fuse, r.Verdict, want, r.Message)
			case want == rules.NotChecked && r.Primary != "contact-chatters/buzzer":
				t.Errorf("%s on %s: primary %q", rule.ID, fuse, r.Primary)
			}
		}
	}
}
