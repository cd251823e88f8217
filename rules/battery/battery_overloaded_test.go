package battery

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestBatteryOverloaded(t *testing.T) {
	rule := batteryOverloaded()
	fixture.Play(t, rule, []ruletest.Scene{
		{
			// 160 A for 30 s out of 600 s over 80 A, tau 1800 s:
			// (1 - exp(-1/60)) / (1 - exp(-1/3)) = 0.058308;
			// sqrt(6400 + 19200 x 0.058308) = 86.72 A.
			Name: "continuously and over a repeated climb", Subject: "pack",
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 86.72, Capability: 100, Mode: "climb"},
		},
		{
			Name: "too much continuously", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.continuous_A", "70", "modes.climb", ""),
			Want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 80, Capability: 70, Mode: "cruise", Fix: "at least 81 A continuous"},
		},
		{
			// As short against tau as this the cycle is its root mean square:
			// sqrt((160^2 x 2 + 30^2) / 3) = 131.8 A, charging counted.
			Name: "a short cycle", Subject: "pack",
			Edits: ruletest.Edits("cycle", `[{"mode": "climb", "for_s": 2}, {"mode": "brake", "for_s": 1}]`),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 131.8, Message: "equivalent continuous current 131.8 A over the cycle"},
		},
		{
			// 1800 s of 160 A, 1800 s of nothing: x = exp(-1), hottest
			// 160 sqrt((1 - x) / (1 - x^2)) = 160 sqrt(1 / (1 + x)) = 136.8 A;
			// the root mean square would be 113.1 A.
			Name: "a long cycle", Subject: "pack",
			Edits: ruletest.Edits("cycle", `[{"mode": "climb", "for_s": 1800}, {"mode": "off", "for_s": 1800}]`),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 136.8, Mode: "climb", Primary: "battery-peak-high/pack"},
		},
		{
			Name: "a mode of the cycle does not go on continuously", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.continuous_A", "70", "modes.climb", "",
				"cycle", `[{"mode": "cruise", "for_s": 10}, {"mode": "off", "for_s": 20}]`),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 46.3, Relative: 0.01},
		},
		{
			// The controller draws 120 A continuously at the most: the mode cannot last.
			Name: "a peak without a duration", Subject: "pack",
			Edits: ruletest.Edits("modes.cruise.draw.drive.current_A", "130", "modes.climb", ""),
			Want:  ruletest.Want{Verdict: rules.NotChecked, Missing: "modes.cruise.lasts_s"},
		},
		{
			Name: "a peak without a duration that it gives continuously", Subject: "pack",
			Edits: ruletest.Edits("modes.cruise.draw.drive.current_A", "130", "modes.climb", "", "batteries.pack.continuous_A", "150"),
			Want:  ruletest.Want{Verdict: rules.Passed, Demand: 130},
		},
		{
			Name: "no continuous current stated", Subject: "pack", Edits: ruletest.Edits("batteries.pack.continuous_A", ""),
			Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.continuous_A"},
		},
		{
			Name: "an internal fuse is the weaker", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.internal_fuse_A", "60", "batteries.pack.continuous_A", ""),
			Want:  ruletest.Want{Verdict: rules.Failed, Capability: 60},
		},
		{
			Name: "power, and a resistance that is not given", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.resistance_mOhm", "", "modes.cruise.draw.drive", `{"power_W": 3000}`),
			Want:  ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"},
		},
		{
			Name: "a climb above the peak is said by another rule", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.peak_A", "150", "batteries.pack.continuous_A", "85"),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 86.72, Primary: "battery-peak-high/pack"},
		},
		{
			Name: "too much continuously besides", Subject: "pack",
			Edits: ruletest.Edits("batteries.pack.peak_A", "150", "batteries.pack.continuous_A", "70"),
			Want:  ruletest.Want{Verdict: rules.Failed, Demand: 86.72},
		},
		{
			Name: "two packs share the current", Subject: "second", Edits: second(),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 43.36},
		},
		{
			// Their corners differ by 1 V, which would drive 50 A round; in use they
			// stand at one voltage.
			Name: "unequal packs do not circulate", Subject: "pack", Edits: second(ruletest.Edits("batteries.second.max_V", "53")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 43.36},
		},
		{
			Name: "the weaker battery of a string", Subject: "lower", Edits: series(ruletest.Edits("batteries.lower.continuous_A", "80")...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 86.72, Capability: 80},
		},
		{Name: "a spare", Subject: "second", Edits: ruletest.Edits(
			"batteries.second", `{"role": "traction", "min_V": 40, "nominal_V": 48, "max_V": 54, "spare": true}`)},
	})
}

// An auxiliary battery that is overloaded only when its converter has failed.
func TestAuxiliaryAlone(t *testing.T) {
	results := ruletest.On(t, batteryOverloaded(), "heron", ruletest.Edits("batteries.aux.continuous_A", "4")...)
	r := ruletest.Verdict(t, results, "aux", rules.Failed)
	if r.Level != rules.Warning {
		t.Errorf("level %s, want a warning: %s", r.Level, r.Message)
	}
}
