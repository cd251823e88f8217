package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestLoadVoltageLow(t *testing.T) {
	rule := loadVoltageLow()
	// 20 m of 1.5 mm2 (IEC 60228 class 5: 13.3 mOhm/m) at 90 C are 0.3392 Ohm. A
	// constant 20 W through that and 1 mOhm of output: U = (13.5 + sqrt(13.5^2 -
	// 4 x 20 x 0.339)) / 2 = 12.978 V.
	long := ruletest.Edits("wires.w19", `{"from": "plus.stud", "to": "electronics.pos", "size": "1.5 mm2", "length_m": 10}`,
		"wires.w35", `{"from": "electronics.neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 10}`)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a long thin cable", Edits: long, Subject: "electronics", Want: ruletest.Want{Verdict: rules.Passed, Demand: 9, Capability: 12.966, Relative: 2e-3}},
		{Name: "too long for it", Edits: append(long, ruletest.Edits("loads.electronics.min_V", "13.2")...), Subject: "electronics", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "what it needs is not given", Edits: ruletest.Edits("loads.electronics.min_V", ""), Subject: "electronics", Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "loads.electronics.min_V"}},
		{Name: "no mode turns it on", Edits: ruletest.Edits("loads.spotlight", `{"kind": "led", "power_W": 5, "at_V": 12, "min_V": 9}`,
			"wires.w60", `{"from": "plus.stud", "to": "spotlight.pos", "size": "1.5 mm2", "length_m": 1}`,
			"wires.w61", `{"from": "spotlight.neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 1}`), Subject: "spotlight",
			Want: ruletest.Want{Verdict: rules.Passed, Mode: "everything on"}},
		// The minus of the second lamp ends on a stud that nothing else reaches.
		{Name: "a return that leads nowhere", Edits: ruletest.Edits("loads.spotlight", `{"kind": "led", "power_W": 5, "at_V": 12, "min_V": 9}`, "studs.lost", "{}",
			"wires.w60", `{"from": "plus.stud", "to": "spotlight.pos", "size": "1.5 mm2", "length_m": 1}`,
			"wires.w61", `{"from": "spotlight.neg", "to": "lost.stud", "size": "1.5 mm2", "length_m": 1}`, "modes.night.on", `["spotlight"]`), Subject: "spotlight",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Mode: "night"}},
		{Name: "a filament whose return leads nowhere", Edits: ruletest.Edits("loads.spotlight", `{"kind": "filament", "power_W": 5, "at_V": 12}`, "studs.lost", "{}",
			"wires.w60", `{"from": "plus.stud", "to": "spotlight.pos", "size": "1.5 mm2", "length_m": 1}`,
			"wires.w61", `{"from": "spotlight.neg", "to": "lost.stud", "size": "1.5 mm2", "length_m": 1}`, "modes.night.on", `["spotlight"]`), Subject: "spotlight",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Mode: "night"}},
		{Name: "a supply that comes from nowhere", Edits: ruletest.Edits("loads.spotlight", `{"kind": "led", "power_W": 5, "at_V": 12, "min_V": 9}`,
			"loads.other", `{"kind": "filament", "power_W": 5, "at_V": 12}`,
			"wires.w60", `{"from": "other.pos", "to": "spotlight.pos", "size": "1.5 mm2", "length_m": 1}`,
			"wires.w62", `{"from": "minus.stud", "to": "other.neg", "size": "1.5 mm2", "length_m": 1}`,
			"wires.w61", `{"from": "spotlight.neg", "to": "minus.stud", "size": "1.5 mm2", "length_m": 1}`, "modes.night.on", `["spotlight"]`), Subject: "spotlight",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Primary: "load-voltage-low/other", Mode: "night"}},
		{Name: "a mode that turns it on behind an open switch", Edits: ruletest.Edits("modes.night.closed", `["main", "lights"]`, "loads.stop_left.critical", "false"), Subject: "stop_left",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Mode: "night"}},
		{Name: "a critical load behind it", Edits: ruletest.Edits("modes.night.closed", `["main", "lights"]`, "loads.stop_left.critical", "true"), Subject: "stop_left",
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Mode: "night"}},
		{Name: "a critical filament, which needs no least voltage", Edits: ruletest.Edits("modes.night.closed", `["main", "lights"]`, "loads.stop_left.critical", "true",
			"loads.stop_left.kind", `"filament"`, "loads.stop_left.min_V", ""), Subject: "stop_left", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Mode: "night"}},
		// The battery alone at 10.5 V behind 20 mOhm, 16 A and more: some 10.2 V.
		{Name: "alone on a flat battery it is a warning", Edits: auxiliary(ruletest.Edits("loads.electronics.min_V", "10.3")), Subject: "electronics", Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning}},
		{Name: "on a converter that gives up it follows from that", Edits: ruletest.Edits("converters.dcdc.output.limit_A", "14", "converters.dcdc.output.continuous_A", "12", "converters.dcdc.output.peak_A", "14",
			"loads.electronics.min_V", "13"), Subject: "electronics", Want: ruletest.Want{Verdict: rules.Failed, Primary: "converter-overloaded/dcdc"}},
	})
	t.Run("one thin cable makes one finding", func(t *testing.T) {
		got := fixture.On(t, rule, ruletest.Edits("wires.w13.size", `"0.5 mm2"`, "wires.w13.length_m", "20", "loads.dipped_left.min_V", "12.5", "loads.tail_left.min_V", "12.4")...)
		ruletest.Expect(t, got, "dipped_left", ruletest.Want{Verdict: rules.Failed})
		ruletest.Expect(t, got, "tail_left", ruletest.Want{Verdict: rules.Failed, Primary: "load-voltage-low/dipped_left"})
		if got["dipped_left"].Primary != "" {
			t.Errorf("the primary finding follows from %s", got["dipped_left"].Primary)
		}
	})
	t.Run("one missing return makes one finding", func(t *testing.T) {
		got := fixture.On(t, rule, ruletest.Edits("studs.lost", "{}",
			"loads.left", `{"kind": "led", "power_W": 5, "at_V": 12, "min_V": 9, "critical": true}`, "loads.right", `{"kind": "led", "power_W": 5, "at_V": 12, "min_V": 9, "critical": true}`,
			"wires.l1", `{"from": "plus.stud", "to": "left.pos", "size": "1.5 mm2", "length_m": 1}`, "wires.l2", `{"from": "left.neg", "to": "lost.stud", "size": "1.5 mm2", "length_m": 1}`,
			"wires.r1", `{"from": "plus.stud", "to": "right.pos", "size": "1.5 mm2", "length_m": 1}`, "wires.r2", `{"from": "right.neg", "to": "lost.stud", "size": "1.5 mm2", "length_m": 1}`,
			"modes.night.on", `["left", "right"]`)...)
		ruletest.Expect(t, got, "left", ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "its return is not connected"})
		ruletest.Expect(t, got, "right", ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Primary: "load-voltage-low/left"})
		if got["left"].Primary != "" {
			t.Errorf("the primary finding follows from %s", got["left"].Primary)
		}
	})
	t.Run("a filament without a least voltage is silent", func(t *testing.T) {
		if r, ok := fixture.On(t, rule, ruletest.Edits("loads.plate.min_V", "")...)["plate"]; ok {
			t.Errorf("got %s: %s", r.Verdict, r.Message)
		}
	})
	t.Run("a pilot lamp across a switch is dark on purpose", func(t *testing.T) {
		got := fixture.On(t, rule, ruletest.Edits("loads.find", `{"kind": "filament", "power_W": 1, "at_V": 12, "min_V": 1}`,
			"modes.night.on", `["dipped_left", "find"]`,
			"wires.w60", `{"from": "lights.lamp_a", "to": "find.pos", "size": "1.5 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "find.neg", "to": "lights.lamp_b", "size": "1.5 mm2", "length_m": 0.1}`)...)
		if got["find"].IsFinding() {
			t.Errorf("false alarm: %s", got["find"].Message)
		}
	})
}
