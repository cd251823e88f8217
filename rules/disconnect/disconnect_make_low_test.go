package disconnect

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// Five pieces of 0.5 m of 70 mm2 have 0.272 mOhm/m (IEC 60228 class 5) and, there
// and back, 1.25 uH. With R = 20 + 0.68 = 20.68 mOhm and C = 1 mF: a = R/2L = 8272 1/s,
// w0 = 1/sqrt(LC) = 28284 1/s, w = 27047.6 1/s, t = atan(w/a)/w = 47.10 us, and
// 84 V sqrt(C/L) exp(-a t) = 2375.9 A x 0.67730 = 1609.2 A.
const peakA = 1609.2

func TestDisconnectMakeLow(t *testing.T) {
	rule := disconnectMakeLow()
	direct := ruletest.Edits("wires.w2.to", `"drive.pos"`, "wires.w3", "", "wires.w2.length_m", "1")
	with := func(more ...rules.Edit) []rules.Edit { return append(append(ruletest.Edits(), direct...), more...) }
	fromPack := ruletest.Edits("wires.c1.from", `"iso.b"`, "wires.c3.to", `"drive.neg"`, "contactors.k.coil.nominal_V", "72", "contactors.k.coil.operate_V", "40",
		"contactors.k.coil.max_V", "100", "contactors.k.coil.resistance_Ohm", "700")
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the key closes the contactor first", Subject: "iso", Want: ruletest.Want{Verdict: rules.Passed, Demand: peakA, Capability: 2000, Mode: "drive"}},
		{Name: "and the disconnect is too small for it", Subject: "iso", Edits: ruletest.Edits("disconnects.iso.make_A", "1000"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: peakA, Capability: 1000}},
		{Name: "no contactor", Subject: "iso", Edits: with(ruletest.Edits("disconnects.iso.make_A", "1000")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: peakA}},
		{Name: "a coil fed from behind the disconnect", Subject: "iso", Edits: append(fromPack, ruletest.Edits("disconnects.iso.make_A", "10")...),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "no controller's capacitors"}},
		{Name: "a controller that limits its own inrush", Subject: "iso", Edits: with(ruletest.Edits("disconnects.iso.make_A", "10", "controllers.drive.internal_precharge", "true")...),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "pre-charged around the disconnect", Subject: "iso", Edits: with(ruletest.Edits("disconnects.iso.make_A", "10", "resistors.soft", `{"role": "precharge", "resistance_Ohm": 100}`,
			"wires.p1", `{"from": "iso.a", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.1}`, "wires.p2", `{"from": "soft.b", "to": "iso.b", "size": "2.5 mm2", "length_m": 0.1}`)...),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "two packs in parallel", Subject: "iso", // 10 mOhm together, and half of the leads: 10.54 mOhm, 1 uH, 2095.2 A
			Edits: with(ruletest.Edits("batteries.twin", `{"role": "traction", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": {"min": 20}}`,
				"wires.t1", `{"from": "twin.pos", "to": "iso.a", "size": "70 mm2", "length_m": 0.5}`, "wires.t2", `{"from": "twin.neg", "to": "iso.a2", "size": "70 mm2", "length_m": 0.5}`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 2095.24}},
		// Each pack behind its own disconnect: whichever is closed first charges the
		// capacitors by itself, 20 mOhm. The loop of the twin is the same 2.5 m.
		{Name: "packs that are connected behind their disconnects", Subject: "iso", Edits: with(twin(ruletest.Edits("disconnects.iso.make_A", "1000")...)...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: peakA, Message: "closed before iso_twin"}},
		{Name: "the other of them", Subject: "iso_twin", Edits: with(twin()...), Want: ruletest.Want{Verdict: rules.Failed, Demand: peakA, Message: "closed before iso"}},
		{Name: "the key left on, and the first of them closed", Subject: "iso", Edits: twin(ruletest.Edits("disconnects.iso.make_A", "1000")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: peakA, Message: "closed before iso_twin"}},
		{Name: "a bus that another pack keeps live", Subject: "iso", Edits: with(append(twin(ruletest.Edits("disconnects.iso.make_A", "10")...),
			ruletest.Edits("wires.t1.to", `"iso.b"`, "wires.t2.to", `"iso.b2"`, "disconnects.iso_twin", "", "wires.t3", "", "wires.t4", "", "modes.drive.closed", `["iso", "key"]`)...)...),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "another pack keeps live"}},
		// Two packs through one disconnect, each behind its own as well: both charge through it.
		{Name: "a common disconnect is closed last", Subject: "iso_all", Edits: with(common()...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 2095.24}},
		{Name: "of two controllers the one with more counts", Subject: "iso", Edits: with(extra("4000")...), Want: ruletest.Want{Verdict: rules.Failed, Demand: 2402.1, Message: "capacitors of extra"}},
		{Name: "and not the other", Subject: "iso", Edits: with(extra("500")...), Want: ruletest.Want{Verdict: rules.Passed, Demand: peakA, Message: "capacitors of drive"}},
		{Name: "capacitance not given", Subject: "iso", Edits: with(ruletest.Edits("controllers.drive.capacitance_uF", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.drive.capacitance_uF"}},
		{Name: "make_A not given", Subject: "iso", Edits: with(ruletest.Edits("disconnects.iso.make_A", "")...), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "disconnects.iso.make_A"}},
		{Name: "resistance not given", Subject: "iso", Edits: with(ruletest.Edits("batteries.pack.resistance_mOhm", "")...),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"}},
	})
}

// extra is a second controller behind the disconnect, in a loop of the same 2.5 m. With
// 4 mF: w0 = 14142.1 1/s, w = 11470.6 1/s, t = atan(1.38668)/w = 82.47 us, and
// 84 V sqrt(C/L) exp(-a t) = 4751.8 A x 0.50551 = 2402.1 A.
func extra(microfarad string) []rules.Edit {
	return ruletest.Edits("controllers.extra", `{"min_V": 40, "max_V": 100, "battery_continuous_A": 80, "capacitance_uF": `+microfarad+`}`,
		"wires.e1", `{"from": "iso.b", "to": "extra.pos", "size": "70 mm2", "length_m": 1}`,
		"wires.e2", `{"from": "extra.neg", "to": "iso.b2", "size": "70 mm2", "length_m": 0.5}`)
}

// twin is a second pack behind a disconnect of its own, connected to the first one behind both.
func twin(more ...rules.Edit) []rules.Edit {
	return append(ruletest.Edits(
		"batteries.twin", `{"role": "traction", "min_V": 60, "nominal_V": 72, "max_V": 84, "resistance_mOhm": {"min": 20}}`,
		"disconnects.iso_twin", `{"poles": 2, "carry_A": 100, "rated_V_dc": 100, "make_A": 900}`,
		"wires.t1", `{"from": "twin.pos", "to": "iso_twin.a", "size": "70 mm2", "length_m": 0.25}`,
		"wires.t2", `{"from": "twin.neg", "to": "iso_twin.a2", "size": "70 mm2", "length_m": 0.25}`,
		"wires.t3", `{"from": "iso_twin.b", "to": "iso.b", "size": "70 mm2", "length_m": 0.25}`,
		"wires.t4", `{"from": "iso_twin.b2", "to": "iso.b2", "size": "70 mm2", "length_m": 0.25}`,
		"modes.drive.closed", `["iso", "iso_twin", "key"]`,
	), more...)
}

// common is twin with a third disconnect before the controller, of no length.
func common() []rules.Edit {
	return twin(
		ruletest.Edits("disconnects.iso_all", `{"poles": 1, "carry_A": 100, "rated_V_dc": 100, "make_A": 1500}`,
			"wires.w2.to", `"iso_all.a"`, "wires.w2.length_m", "0.5",
			"wires.w6", `{"from": "iso_all.b", "to": "drive.pos", "size": "70 mm2", "length_m": 0.5}`,
			"modes.drive.closed", `["iso", "iso_twin", "iso_all", "key"]`)...)
}
