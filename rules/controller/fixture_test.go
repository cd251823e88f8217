package controller

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

var fixture = ruletest.Fixture{File: "testdata/fixture.yaml"}

// second is a pack beside the fixture's, behind a fuse of its own.
func second(more ...rules.Edit) []rules.Edit {
	return append(ruletest.Edits(
		"batteries.second", `{"role": "traction", "min_V": 40, "nominal_V": 48, "max_V": 54, "resistance_mOhm": {"min": 10, "typ": 10, "max": 20},
			"continuous_A": 100, "peak_A": 200, "peak_s": 60, "charge_max_A": 50}`,
		"fuses.second_fuse", `{"class": "bolt-down", "rated_A": 150, "rated_V_dc": 80, "breaking_A_dc": 10000, "drop_mV": 0.1}`,
		"wires.w20", `{"from": "second.pos", "to": "second_fuse.a", "size": "120 mm2", "length_m": 0.01}`,
		"wires.w21", `{"from": "second_fuse.b", "to": "plus.stud", "size": "120 mm2", "length_m": 0.01}`,
		"wires.w22", `{"from": "second.neg", "to": "minus.stud", "size": "120 mm2", "length_m": 0.01}`,
	), more...)
}

// twin is a second controller on the same pack.
func twin(peakA, peakS, regenA string) []rules.Edit {
	return ruletest.Edits(
		"controllers.twin", `{"min_V": 30, "max_V": 70, "battery_continuous_A": 30, "battery_peak_A": `+peakA+`, "peak_s": `+peakS+`, "regen_A": `+regenA+`}`,
		"wires.w30", `{"from": "plus.stud", "to": "twin.pos", "size": "120 mm2", "length_m": 0.01}`,
		"wires.w31", `{"from": "twin.neg", "to": "minus.stud", "size": "120 mm2", "length_m": 0.01}`,
	)
}

func TestFamily(t *testing.T) {
	ruletest.Family(t, Rules(), ruletest.Except{}, fixture)
}

// A controller that no battery can feed but that a mode draws from is a finding, and
// else not checked; nothing of it passes.
func TestNoBattery(t *testing.T) {
	spec := fixture.Spec(t, ruletest.Edits("studs.lone", "{}", "wires.w3.from", `"lone.stud"`)...)
	for _, r := range ruletest.Run(t, spec, Rules()) {
		want := rules.NotChecked
		if r.Rule == controllerUndervoltageID {
			want = rules.Failed
		}
		if r.Subject == "drive" && r.Verdict != want {
			t.Errorf("%s: %s: %s", r.Rule, r.Verdict, r.Message)
		}
	}
}

// The mistakes of a cart that someone assembled from what was there.
func TestCart(t *testing.T) {
	spec := ruletest.Changed(t, ruletest.First(),
		ruletest.Edits("controllers.drive.max_V", "56", // the pack ends at 58.4 V
			"controllers.drive.regen_A", "60",
			"controllers.drive.battery_peak_A", "170",
			"batteries.pack.charge_max_A", "15",
			"chargers.charger", `{"max_V": 67, "max_A": 10, "isolated": true}`,
			"wires.w20", `{"from": "isolator.b", "to": "charger.pos", "size": "4 mm2", "length_m": 0.8}`,
			"wires.w21", `{"from": "charger.neg", "to": "drive.neg", "size": "4 mm2", "length_m": 0.8}`)...)
	results := ruletest.Run(t, spec, Rules())
	for _, rule := range []string{"controller-voltage-high", "regeneration-high", "controller-above-battery"} {
		if _, ok := ruletest.Finding(ofRule(results, rule), "drive"); !ok {
			t.Errorf("%s does not fire", rule)
		}
	}
}

func ofRule(results []rules.Result, id string) (out []rules.Result) {
	for _, r := range results {
		if r.Rule == id {
			out = append(out, r)
		}
	}
	return out
}
