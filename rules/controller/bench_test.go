package controller

import (
	"os"
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

const bench = "testdata/bench.yaml"

// set and drop are edits.
func set(path, value string) rules.Edit { return rules.Edit{Path: path, Value: value} }
func drop(path string) rules.Edit       { return rules.Edit{Path: path} }

// fleetIsSilent checks that a rule fires on its example and accuses neither the
// demo fleet nor the other sound vehicles.
func fleetIsSilent(t *testing.T, rule *rules.Rule) {
	t.Helper()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	folder := filepath.Join(ruletest.Fleet(), "..", "sound")
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	paths := []string{first()}
	for _, e := range entries {
		paths = append(paths, filepath.Join(folder, e.Name()))
	}
	for _, path := range paths {
		for _, r := range ruletest.Run(t, ruletest.Load(t, path), []*rules.Rule{rule}) {
			if r.IsFinding() {
				t.Errorf("false alarm on %s of %s: %s", r.Subject, filepath.Base(path), r.Message)
			}
		}
	}
}

// first is the first specification of the README.
func first() string { return filepath.Join(ruletest.Fleet(), "..", "first", "first.yaml") }

// second is a pack beside the bench's, behind a fuse of its own.
func second(more ...rules.Edit) []rules.Edit {
	return append([]rules.Edit{
		set("batteries.second", `{"role": "traction", "min_V": 40, "nominal_V": 48, "max_V": 54, "resistance_mOhm": {"min": 10, "typ": 10, "max": 20},
			"continuous_A": 100, "peak_A": 200, "peak_s": 60, "charge_max_A": 50}`),
		set("fuses.second_fuse", `{"class": "bolt-down", "rated_A": 150, "rated_V_dc": 80, "breaking_A_dc": 10000, "drop_mV": 0.1}`),
		set("wires.w20", `{"from": "second.pos", "to": "second_fuse.a", "size": "120 mm2", "length_m": 0.01}`),
		set("wires.w21", `{"from": "second_fuse.b", "to": "plus.stud", "size": "120 mm2", "length_m": 0.01}`),
		set("wires.w22", `{"from": "second.neg", "to": "minus.stud", "size": "120 mm2", "length_m": 0.01}`),
	}, more...)
}

// twin is a second controller on the same pack.
func twin(peakA, peakS, regenA string) []rules.Edit {
	return []rules.Edit{
		set("controllers.twin", `{"min_V": 30, "max_V": 70, "battery_continuous_A": 30, "battery_peak_A": `+peakA+`, "peak_s": `+peakS+`, "regen_A": `+regenA+`}`),
		set("wires.w30", `{"from": "plus.stud", "to": "twin.pos", "size": "120 mm2", "length_m": 0.01}`),
		set("wires.w31", `{"from": "twin.neg", "to": "minus.stud", "size": "120 mm2", "length_m": 0.01}`),
	}
}

func TestBenchIsSound(t *testing.T) {
	for _, r := range ruletest.Run(t, ruletest.Load(t, bench), Rules()) {
		if r.Verdict != rules.Passed {
			t.Errorf("%s on %s: %s: %s", r.Rule, r.Subject, r.Verdict, r.Message)
		}
	}
}

// A controller that no battery can feed is not judged, and not passed either.
func TestNoBattery(t *testing.T) {
	spec := ruletest.Changed(t, bench, set("studs.lone", "{}"), set("wires.w3.from", `"lone.stud"`))
	for _, r := range ruletest.Run(t, spec, Rules()) {
		if r.Subject == "drive" && r.Verdict != rules.NotChecked {
			t.Errorf("%s: %s: %s", r.Rule, r.Verdict, r.Message)
		}
	}
}

// The mistakes of a cart that someone assembled from what was there.
func TestCart(t *testing.T) {
	spec := ruletest.Changed(t, first(),
		set("controllers.drive.max_V", "56"), // the pack ends at 58.4 V
		set("controllers.drive.regen_A", "60"),
		set("controllers.drive.battery_peak_A", "170"),
		set("batteries.pack.charge_max_A", "15"),
		set("chargers.charger", `{"max_V": 67, "max_A": 10, "isolated": true}`),
		set("wires.w20", `{"from": "isolator.b", "to": "charger.pos", "size": "4 mm2", "length_m": 0.8}`),
		set("wires.w21", `{"from": "charger.neg", "to": "drive.neg", "size": "4 mm2", "length_m": 0.8}`),
	)
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
