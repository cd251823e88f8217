package precharge

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// The first peak onto empty capacitors is 4048.2 A at 96 V, as in TestPrechargeMissing.
func TestPrechargeDelayUnmade(t *testing.T) {
	const full, race = 4048.2, "emergency-stop-indirect/k"
	together := []string{"ret: {from: k.coil_neg, to: c.coil_out", "ret: {from: k.coil_neg, to: c.neg"}
	idle := join(noRelay, together)
	byKey := join(idle, []string{", coil_out: {max_A: 2}", "", "[d, key, c.coil_out]", "[d, key]"})
	// 0.4 H and 24 Ohm of 6.6 V beside 0.5 H and 90 Ohm of 7.2 V, seven times the voltage of
	// a worked example: 13.3085 ms and 2 ms against 5.0905 ms and 10 ms of travel leave
	// 0.218 ms, of 0.47 s.
	inductances := []string{
		"coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}\n    closes", "coil: {nominal_V: 84, operate_V: 52.8, release_V: 8, resistance_Ohm: 24, inductance_mH: 400}\n    closes",
		"ry: {contact: {carry_A: 5}, coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}}", "ry: {contact: {carry_A: 5}, coil: {nominal_V: 84, operate_V: 57.6, release_V: 8, resistance_Ohm: 90, inductance_mH: 500}}"}
	timer := join(together, []string{
		"relays:", "timers: {tm: {set_s: 3, supply_V: {min: 60, max: 110}, contact: {carry_A: 5}}}\nrelays:",
		"    closes_after_s: 3\n", "    closes: {by: timer, device: tm}\n",
		"coil: {from: key.p_b, to: k.coil_pos", "coil: {from: tm.no, to: k.coil_pos",
		"relay: {from: k.coil_pos, to: ry.coil_pos", "relay: {from: key.p_b, to: ry.coil_pos",
		"modes:", "  t1: {from: key.p_b, to: tm.pos, size: 1.5 mm2, length_m: 0.1}\n  t2: {from: tm.pos, to: tm.common, size: 1.5 mm2, length_m: 0.1}\n  t3: {from: tm.neg, to: c.neg, size: 1.5 mm2, length_m: 0.1}\nmodes:"})
	fixture.Play(t, prechargeDelayUnmade(), []ruletest.Scene{
		{Name: "a controller's output", Subject: "k", Want: ruletest.Want{Verdict: rules.Passed, Message: "returns to the output of c"}},
		{Name: "a timer", Subject: "k", Replace: timer, Want: ruletest.Want{Verdict: rules.Passed, Message: "contact of tm"}},
		{Name: "a timer that is bypassed", Subject: "k", Replace: join(timer, []string{"coil: {from: tm.no", "coil: {from: tm.common"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: full, Primary: race, Message: "does not show tm"}},
		// With the key open for longer than its 3 s the timer's contact is closed already.
		{Name: "a timer that is fed ahead of the key", Subject: "k", Replace: join(timer, []string{"t1: {from: key.p_b,", "t1: {from: key.p_a,", "t2: {from: tm.pos,", "t2: {from: key.p_b,"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: full, Primary: race, Message: "tm is fed ahead of key", Fix: "feed tm from the same side of key"}},
		{Name: "a timer that is never without supply", Subject: "k", Replace: join(timer, noRelay, []string{"t1: {from: key.p_b,", "t1: {from: b.pos,", "t2: {from: tm.pos,", "t2: {from: key.p_b,"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: full, Message: "tm is fed ahead of d"}},
		{Name: "a timer behind the key, after a pre-charge that the disconnect begins", Subject: "k", Replace: join(timer, noRelay), Want: ruletest.Want{Verdict: rules.Passed, Message: "contact of tm"}},
		{Name: "a timer with another supply behind the key", Subject: "k", Replace: join(timer, []string{"t2: {from: tm.pos,", "t2: {from: key.p_b,"}), Want: ruletest.Want{Verdict: rules.Passed, Message: "contact of tm"}},
		{Name: "coils fed together", Subject: "k", Replace: together,
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: full, Capability: 600, Primary: race, Message: "together with that of ry, which leaves 96 of 96 V", Fix: "hold k back for at least 1.1 s"}},
		{Name: "coils of known inductance", Subject: "k", Replace: join(together, inductances),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: full, Relative: 2e-3, Primary: race, Message: "which leaves 95.9"}},
		{Name: "operate times", Subject: "k", Replace: join(together, []string{
			"resistance_Ohm: 900}\n    closes", "resistance_Ohm: 900, operate_ms: {min: 480, max: 500}}\n    closes",
			"coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900}}}", "coil: {nominal_V: 84, operate_V: 50, release_V: 8, resistance_Ohm: 900, operate_ms: {min: 5, max: 10}}}}"}),
			// 0.47 s are one time constant.
			Want: ruletest.Want{Verdict: rules.Failed, Demand: full * 0.36788, Primary: race}},
		{Name: "a contact made for it", Subject: "k", Replace: join(together, []string{"make_A: 600", "make_A: 5000"}), Want: ruletest.Want{Verdict: rules.Passed, Demand: full, Primary: race}},
		{Name: "a person, above 60 V with 22 J", Subject: "k", Replace: byKey,
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: full, Message: "only the hand on key"}},
		{Name: "a person, above 60 V with 7 J", Subject: "k", Replace: join(byKey, []string{"capacitance_uF: 4700", "capacitance_uF: 1500"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "only the hand on key"}},
		{Name: "a person where the controller's output was meant to wait", Subject: "k", Replace: idle,
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: full, Message: "no coil returns to c.coil_out", Fix: "return the coil of k to c.coil_out"}},
		{Name: "a person who is declared, beside that output", Subject: "k", Replace: join(idle, []string{"    closes_after_s: 3\n", "    closes: {by: hand, after_s: 3}\n"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Warning, Demand: full, Message: "only the hand on key"}},
		{Name: "a person where a controller is named", Subject: "k", Replace: join(byKey, []string{"    closes_after_s: 3\n", "    closes: {by: controller, device: c, after_s: 3}\n"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: full, Message: "the circuit does not show c"}},
		{Name: "no key", Subject: "k", Replace: join(byKey, []string{"coil: {from: key.p_b,", "coil: {from: k.a,"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: full, Primary: "contactor-not-keyed/k", Message: "as soon as the pre-charge begins"}},
		{Name: "an auxiliary contact", Subject: "k", Replace: join(together, []string{"    closes_after_s: 3\n", "    closes: {by: auxiliary, device: ry}\n"}),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Message: "an order but not"}},
		{Name: "unknown capacitance", Subject: "k", Replace: join(together, []string{"capacitance_uF: 4700, ", ""}),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "controllers.c.capacitance_uF"}},
		{Name: "a contactor without a pre-charge", Subject: "k", Replace: noResistor},
	})
}
