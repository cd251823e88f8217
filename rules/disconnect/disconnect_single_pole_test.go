package disconnect

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestDisconnectSinglePole(t *testing.T) {
	rule := disconnectSinglePole()
	single := ruletest.Edits("disconnects.iso.poles", "1", "wires.w4.to", `"pack.neg"`, "wires.w5", "")
	with := func(more ...rules.Edit) []rules.Edit { return append(append(ruletest.Edits(), single...), more...) }
	positive := ruletest.Edits("disconnects.iso.poles", "1", "wires.w1.to", `"k.a"`, "wires.w2", "", "wires.w4.to", `"iso.b"`, "wires.w5.from", `"iso.a"`)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "two poles", Subject: "iso", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "the negative pole remains", Subject: "iso", Edits: single, Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Note, Message: "the negative pole of pack, up to 84 V"}},
		{Name: "the positive pole remains", Subject: "iso", Edits: positive, Want: ruletest.Want{Verdict: rules.Failed, Message: "the positive pole of pack"}},
		{Name: "the positive pole is the metalwork's", Subject: "iso", Edits: append(positive, ruletest.Edits("wires.bond", `{"from": "pack.pos", "to": "chassis", "size": "70 mm2", "length_m": 0.1}`)...),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "what is always live on purpose does not count", Subject: "iso", Edits: with(ruletest.Edits("loads.monitor", `{"kind": "electronic", "power_W": 1, "at_V": 72, "always_live": true}`,
			"wires.m1", `{"from": "pack.pos", "to": "monitor.pos", "size": "1.5 mm2", "length_m": 0.1}`, "wires.m2", `{"from": "monitor.neg", "to": "pack.neg", "size": "1.5 mm2", "length_m": 0.1}`)...),
			Want: ruletest.Want{Verdict: rules.Failed, Message: "the negative pole of pack"}},
		{Name: "60 V and below", Subject: "iso", Edits: with(ruletest.Edits("batteries.pack.min_V", "40", "batteries.pack.nominal_V", "51.2", "batteries.pack.max_V", "58.4")...),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "voltage class A"}},
		{Name: "above 60 V by regeneration alone", Subject: "iso", // 59 V + 100 A x 20 mOhm = 61 V
			Edits: with(ruletest.Edits("batteries.pack.min_V", "40", "batteries.pack.nominal_V", "51.2", "batteries.pack.max_V", "59", "controllers.drive.regen_A", "100")...),
			Want:  ruletest.Want{Verdict: rules.Failed, Message: "61 V"}},
		{Name: "the pole that remains is the metalwork's", Subject: "iso", Edits: with(ruletest.Edits("wires.bond", `{"from": "pack.neg", "to": "chassis", "size": "70 mm2", "length_m": 0.1}`)...),
			Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "a second disconnect cuts the other pole", Subject: "iso", Edits: append(single[:1:1], ruletest.Edits("disconnects.second", `{"carry_A": 100}`,
			"wires.w4.to", `"second.b"`, "wires.w5.from", `"second.a"`)...),
			Want: ruletest.Want{Verdict: rules.Passed}},
	})
}
