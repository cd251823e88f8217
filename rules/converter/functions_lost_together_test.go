package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestFunctionsLostTogether(t *testing.T) {
	rule := functionsLostTogether()
	own := ruletest.Edits("fuses.tail_fuse", `{"class": "blade", "rated_A": 5, "rated_V_dc": 32}`,
		"wires.w16", `{"from": "lights.lamp_a", "to": "tail_fuse.a", "size": "2.5 mm2", "length_m": 0.1}`,
		"wires.w16b", `{"from": "tail_fuse.b", "to": "tail_left.pos", "size": "2.5 mm2", "length_m": 0.1}`)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the fixture has its tail lamps on the fuse of its headlamps", Subject: "lamp_fuse", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "headlamp and tail are lost together"}},
		{Name: "brake lamps of their own", Subject: "stop_fuse", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "tail lamps of their own too", Subject: "tail_fuse", Edits: own, Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "without a battery the converter's fuse takes all", Subject: "input_fuse", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Primary: "critical-load-single-fuse/input_fuse"}},
		{Name: "with a battery it takes none", Subject: "input_fuse", Edits: auxiliary(nil), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "nor does the converter", Subject: "dcdc", Edits: auxiliary(nil), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a horn with the brake lamps", Subject: "stop_fuse", Edits: ruletest.Edits("loads.horn.function", `"horn"`),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Message: "brake and horn"}},
		{Name: "an id that says nothing", Subject: "lamp", Edits: ruletest.Edits("loads.lamp", `{"kind": "led", "power_W": 5, "at_V": 13.5, "critical": true}`,
			"wires.l1", `{"from": "plus.stud", "to": "lamp.pos", "size": "1.5 mm2", "length_m": 0.1}`, "wires.l2", `{"from": "lamp.neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`,
			"modes.night.on", `["dipped_left", "dipped_right", "tail_left", "tail_right", "stop_left", "stop_right", "lamp"]`),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "loads.lamp.function"}},
		{Name: "off the road", Subject: "lamp_fuse", Edits: ruletest.Edits("vehicle.use", `"off-road"`)},
	})
	t.Run("a relay through which both pass", func(t *testing.T) {
		got := fixture.On(t, rule, auxiliary(ruletest.Edits(
			"relays.lamps", `{"form": "no", "contact": {"carry_A": 40}, "coil": {"nominal_V": 12, "operate_V": 8, "release_V": 1.2, "resistance_Ohm": 90}}`,
			"wires.w12.from", `"lamps.no"`, "wires.w20.from", `"lamps.no"`,
			"wires.w70", `{"from": "plus.stud", "to": "lamps.common", "size": "16 mm2", "length_m": 0.1}`,
			"wires.w71", `{"from": "plus.stud", "to": "lamps.coil_pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w73", `{"from": "lamps.coil_neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 0.1}`))...)
		ruletest.Expect(t, got, "lamps", ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "its contact does not close"})
	})
	ruletest.Silent(t, rule, "heron")
	ruletest.Silent(t, rule, "badger")
}
