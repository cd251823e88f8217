package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestChargerUnfused(t *testing.T) {
	rule := chargerUnfused()
	straight := ruletest.Edits("wires.w7.from", `"pack.pos"`)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a fuse at the battery's end", Subject: "charger", Want: ruletest.Want{Verdict: rules.Passed, Message: "charge_fuse protects"}},
		{Name: "no fuse", Subject: "charger", Edits: straight,
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Primary: "conductor-unprotected/w7", Message: "no fuse between"}},
		{Name: "no fuse, and a cable short enough for the distance rule", Subject: "charger", Edits: append(straight, ruletest.Edits("wires.w7.length_m", "0.1", "wires.w8.length_m", "0.1")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error}},
		{Name: "a fuse at the charger's end only", Subject: "charger",
			Edits: ruletest.Edits("wires.w7", `{"from": "pack.pos", "to": "charge_fuse.a", "size": "10 mm2", "length_m": 1}`,
				"wires.w6", `{"from": "charge_fuse.b", "to": "charger.pos", "size": "10 mm2", "length_m": 0.1}`),
			Want: ruletest.Want{Verdict: rules.Failed, Primary: "conductor-unprotected/w7", Fix: "move charge_fuse"}},
		{Name: "a fuse close to the battery", Subject: "charger",
			Edits: ruletest.Edits("wires.w6", `{"from": "pack.pos", "to": "charge_fuse.a", "size": "10 mm2", "length_m": 0.1}`),
			Want:  ruletest.Want{Verdict: rules.Passed, Message: "charge_fuse protects"}},
		{Name: "a fuse, and a diode", Subject: "charger", Edits: diode(), Want: ruletest.Want{Verdict: rules.Passed, Message: "charge_fuse protects"}},
		{Name: "a fuse inside the pack", Subject: "charger", Edits: append(straight, ruletest.Edits("batteries.pack.internal_fuse_A", "150")...),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "internal fuse of pack"}},
		{Name: "a fuse in the negative side", Subject: "charger",
			Edits: append(straight, ruletest.Edits("wires.w8", `{"from": "charger.neg", "to": "charge_fuse.b", "size": "10 mm2", "length_m": 1}`,
				"wires.w6", `{"from": "charge_fuse.a", "to": "pack.neg", "size": "10 mm2", "length_m": 0.1}`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "charge_fuse protects"}},
	})
}
