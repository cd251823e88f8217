package fuse

import (
	"math"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

// IEC 60364-5-54: k = 143 from 90 C to 250 C. 35 mm2 withstand (143 x 35)^2 = 2.505e7
// A2s, 2.5 mm2 127 800 A2s. Beyond its last point main lets 500^2 x 0.5 = 125 000
// A2s through; as more than 1 ms is taken for certain opening, at the 5305 A
// behind it 5305^2 x 0.00444 s, the same. At the far end of w_drive and back 40 V
// flow through 30 mOhm of pack and 2.2 m of copper at 90 C.
func TestWithstandShort(t *testing.T) {
	fixture.Play(t, withstandShort(), []ruletest.Scene{
		{Name: "thick enough", Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 125000, Capability: math.Pow(143.08*35, 2)}},
		// 40 V / (100 mOhm + 0.5 mOhm of main + 2.2 m x 0.7064 mOhm/m) = 391.95 A for
		// 2 s (391.95/350)^(ln(1/4)/ln(500/350)) = 1.2881 s: 197 880 A2s, more than at the near end.
		{Name: "most at the far end", Edits: ruletest.Edits("batteries.pack.resistance_mOhm.max", "100"), Subject: "w_drive",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 197880}},
		{Name: "the loop whose fuse lets more through", Edits: ruletest.Edits("batteries.second", `{"role": "traction", "min_V": 40, "nominal_V": 48, "max_V": 56, "resistance_mOhm": {"min": 10, "typ": 15, "max": 30}}`,
			"fuses.slow", `{"class": "bolt-down", "rated_A": 100, "rated_V_dc": 80, "breaking_A_dc": 10000, "drop_mV": 50, "opening": {"max": `+slowMain+`}}`,
			"wires.s1", `{"from": "second.pos", "to": "slow.a", "size": "35 mm2", "length_m": 0.1}`, "wires.s2", `{"from": "slow.b", "to": "main.b", "size": "35 mm2", "length_m": 0.1}`,
			"wires.s3", `{"from": "second.neg", "to": "pack.neg", "size": "35 mm2", "length_m": 0.1}`),
			Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed, Demand: 150000}},
		{Name: "too thin", Edits: ruletest.Edits("wires.w_drive.size", `"2.5 mm2"`, "fuses.main.opening.max", slowMain),
			Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Failed, Primary: "fuse-above-ampacity/w_drive"}},
		{Name: "declared total", Edits: ruletest.Edits("fuses.main.total_I2t_A2s", "90000"), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "hotter insulation starts hotter", Edits: ruletest.Edits("wires.w_drive.insulation.max_C", "70"), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.Passed,
			Capability: math.Pow(226*math.Sqrt(math.Log((234.5+250)/(234.5+70)))*35, 2)}},
		{Name: "PVC ends at 160 C", Edits: ruletest.Edits("wires.w_drive.insulation.material", `"PVC"`, "wires.w_drive.insulation.max_C", "70"), Subject: "w_drive",
			Want: ruletest.Want{Verdict: rules.Passed, Capability: math.Pow(115.0*35, 2)}},
		{Name: "resistance unknown", Edits: ruletest.Edits("batteries.pack.resistance_mOhm", ""), Subject: "w_drive", Want: ruletest.Want{Verdict: rules.NotChecked,
			Missing: "batteries.pack.resistance_mOhm"}},
		// The converter's 12 A are all that flows: 1.5 mm2 withstand that continuously.
		{Name: "limited source", Subject: "w_pilot", Want: ruletest.Want{Verdict: rules.Passed, Demand: 12}},
	})
}

// A UL link of which only the gate is known ends at 200 % in minutes. What it
// lets through a short circuit is then a bound, which proves safety or nothing.
func TestWithstandOfABound(t *testing.T) {
	fixture.Play(t, withstandShort(), []ruletest.Scene{
		// 20 A for 120 s bound I2t to 48 000 A2s: 2.5 mm2 withstand it.
		{Name: "bound that proves", Edits: ruletest.Edits("fuses.branch.opening", ""), Subject: "w_lamp", Want: ruletest.Want{Verdict: rules.Passed, Demand: 48000}},
		// 40 A for 120 s: 192 000 A2s, more than 127 800, and far more than it really is.
		{Name: "bound that proves nothing", Edits: ruletest.Edits("fuses.branch.opening", "", "fuses.branch.rated_A", "20", "fuses.main.opening.max", slowMain), Subject: "w_lamp",
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "fuses.branch.opening.max"}},
	})
}

// slowMain are the longest opening times of a main fuse that lets 500^2 x 0.6 =
// 150 000 A2s through, more than 2.5 mm2 withstand.
const slowMain = `[{"current_A": 135, "s": 1800}, {"current_A": 200, "s": 15}, {"current_A": 350, "s": 2}, {"current_A": 500, "s": 0.6}]`
