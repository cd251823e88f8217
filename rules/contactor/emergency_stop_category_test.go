package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The stop is in the feed of the coil; braked lets an off-delay timer feed that, and leads
// the enable input through the stop.
func TestEmergencyStopCategory(t *testing.T) {
	stop := func(category string, more ...string) []rules.Edit {
		return append(ruletest.Edits("switches.stop", `{"role": "emergency-stop", "stop_category": `+category+`, "poles": {"p": {"carry_A": 10, "rated_V_dc": 60}}}`,
			"wires.coil.to", `"stop.p_a"`, "wires.held", `{"from": "stop.p_b", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 1}`,
			"wires.enable", `{"from": "stop.p_b", "to": "c.enable", "size": "1.5 mm2", "length_m": 1}`,
			"modes.drive.closed", `["key", "stop"]`), ruletest.Edits(more...)...)
	}
	braked := func(category string, more ...string) []rules.Edit {
		return append(stop(category,
			"timers.hold", `{"function": "off-delay", "set_s": 3, "supply_V": {"min": 8, "max": 18}, "contact": {"carry_A": 5, "rated_V_dc": 60}}`,
			"wires.held.to", `"hold.pos"`,
			"wires.hold_neg", `{"from": "hold.neg", "to": "b.neg", "size": "1.5 mm2", "length_m": 1}`,
			"wires.hold_in", `{"from": "key.p_b", "to": "hold.common", "size": "1.5 mm2", "length_m": 1}`,
			"wires.hold_out", `{"from": "hold.no", "to": "k.coil_pos", "size": "1.5 mm2", "length_m": 1}`), ruletest.Edits(more...)...)
	}
	fixture.Play(t, emergencyStopCategory(), []ruletest.Scene{
		{Name: "at once", Subject: "stop", Edits: stop("0"), Want: ruletest.Want{Verdict: rules.Passed, Message: "nothing delays"}},
		{Name: "at once, with a timer", Subject: "stop", Edits: braked("0"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "keeps k closed"}},
		{Name: "after braking", Subject: "stop", Edits: braked("1"), Want: ruletest.Want{Verdict: rules.Passed, Message: "after a delay"}},
		{Name: "after braking, but at once", Subject: "stop", Edits: stop("1"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "opens k at once"}},
		{Name: "nothing tells it to brake", Subject: "stop", Edits: braked("1", "wires.enable.from", `"key.p_b"`), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "stays up"}},
		{Name: "its enable input is not drawn", Subject: "stop", Edits: braked("1", "wires.enable", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "a conductor on c.enable"}},
		{Name: "the power stays on", Subject: "stop", Edits: stop("2"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "nothing is declared", Subject: "stop", Edits: stop("0", "switches.stop.stop_category", ""), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a key has none", Subject: "key", Edits: stop("0")},
	})
}
