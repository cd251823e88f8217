package battery

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
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
	for _, path := range sound(t) {
		for _, r := range ruletest.Run(t, ruletest.Load(t, path), []*rules.Rule{rule}) {
			if r.IsFinding() {
				t.Errorf("false alarm on %s of %s: %s", r.Subject, filepath.Base(path), r.Message)
			}
		}
	}
}

// sound lists the other sound vehicles and the first specification.
func sound(t *testing.T) []string {
	t.Helper()
	folder := filepath.Join(ruletest.Fleet(), "..", "sound")
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	paths := []string{first()}
	for _, e := range entries {
		paths = append(paths, filepath.Join(folder, e.Name()))
	}
	return paths
}

// first is the first specification of the README.
func first() string { return filepath.Join(ruletest.Fleet(), "..", "first", "first.yaml") }

// second is a pack beside the bench's, behind a fuse of its own.
func second(more ...rules.Edit) []rules.Edit {
	return append([]rules.Edit{
		set("batteries.second", `{"role": "traction", "chemistry": "LFP", "series": 15, "min_V": 40, "nominal_V": 48, "max_V": 54,
			"resistance_mOhm": {"min": 10, "typ": 10, "max": 20}, "continuous_A": 100, "peak_A": 200, "peak_s": 30, "charge_max_A": 50}`),
		set("fuses.second_fuse", `{"class": "bolt-down", "rated_A": 150, "rated_V_dc": 80, "breaking_A_dc": 10000, "drop_mV": 0.1}`),
		set("wires.w20", `{"from": "second.pos", "to": "second_fuse.a", "size": "120 mm2", "length_m": 0.01}`),
		set("wires.w21", `{"from": "second_fuse.b", "to": "plus.stud", "size": "120 mm2", "length_m": 0.01}`),
		set("wires.w22", `{"from": "second.neg", "to": "minus.stud", "size": "120 mm2", "length_m": 0.01}`),
	}, more...)
}

// series is a second battery of 12 V below the bench's pack, in one string.
func series(more ...rules.Edit) []rules.Edit {
	return append([]rules.Edit{
		set("batteries.lower", `{"role": "traction", "chemistry": "LFP", "series": 4, "min_V": 10, "nominal_V": 12, "max_V": 14,
			"resistance_mOhm": 5, "continuous_A": 90, "peak_A": 200, "peak_s": 30, "charge_max_A": 50, "charge_min_C": -10}`),
		set("wires.w5.to", `"lower.neg"`),
		set("wires.w20", `{"from": "pack.neg", "to": "lower.pos", "size": "120 mm2", "length_m": 0.01}`),
	}, more...)
}

// diode puts a diode between the charger and the pack.
func diode() []rules.Edit {
	return []rules.Edit{
		set("diodes.d", `{"forward_V": 0.8, "continuous_A": 40}`),
		set("wires.w7.to", `"d.cathode"`),
		set("wires.w40", `{"from": "d.anode", "to": "charger.pos", "size": "10 mm2", "length_m": 0.1}`),
	}
}

func TestBenchIsSound(t *testing.T) {
	for _, r := range ruletest.Run(t, ruletest.Load(t, bench), Rules()) {
		if r.Verdict != rules.Passed {
			t.Errorf("%s on %s: %s: %s", r.Rule, r.Subject, r.Verdict, r.Message)
		}
	}
}

// A series string is one battery for everything that regards its voltage, and
// every battery of it carries the whole current.
func TestSeriesString(t *testing.T) {
	for _, r := range ruletest.Run(t, ruletest.Changed(t, bench, series(set("chargers.charger.max_V", "68"),
		set("batteries.pack.capacity_Ah", "100"), set("batteries.lower.capacity_Ah", "100"))...), Rules()) {
		if r.Verdict != rules.Passed {
			t.Errorf("%s on %s: %s: %s", r.Rule, r.Subject, r.Verdict, r.Message)
		}
	}
}

// The mistakes of a cart that someone assembled from what was there: each is
// caught by the rule that is there for it.
func TestCart(t *testing.T) {
	spec := ruletest.Changed(t, first(),
		set("batteries.pack.continuous_A", "30"),
		set("batteries.pack.peak_A", "60"), set("batteries.pack.peak_s", "30"),
		set("batteries.pack.charge_max_A", "15"),
		set("batteries.pack.cutoff", `{"trip_A": 80, "trip_s": 1, "by": "semiconductor"}`),
		set("controllers.drive.regen_A", "60"),
		set("modes.downhill", `{"closed": ["isolator", "key"], "draw": {"drive": {"regen_A": 60}}, "lasts_s": 20, "every_s": 300}`),
		set("chargers.charger", `{"max_V": 67, "max_A": 10, "isolated": true}`),
		set("wires.w20", `{"from": "isolator.b", "to": "charger.pos", "size": "4 mm2", "length_m": 0.8}`),
		set("wires.w21", `{"from": "charger.neg", "to": "drive.neg", "size": "4 mm2", "length_m": 0.8}`),
	)
	results := ruletest.Run(t, spec, Rules())
	for rule, subject := range map[string]string{
		"battery-overloaded": "pack", "battery-peak-high": "pack", "battery-cutoff-trips": "pack", "battery-charge-high": "pack",
		"charger-voltage-high": "charger", "charger-drive-possible": "charger",
	} {
		found := false
		for _, r := range results {
			found = found || r.Rule == rule && r.Subject == subject && r.IsFinding()
		}
		if !found {
			t.Errorf("%s does not fire on %s", rule, subject)
		}
	}
}

// A cycle that goes through a mode with a mistake leaves unknown what goes on for
// how long: what rests on it is not checked, and nothing breaks.
func TestBrokenCycle(t *testing.T) {
	source, err := os.ReadFile(bench)
	if err != nil {
		t.Fatal(err)
	}
	text := string(source) + "\ncycle: [{mode: climb, for_s: 30}, {mode: off, for_s: 60}]\n"
	text = strings.Replace(text, "climb: {draw: {drive: {current_A: 160}}", "climb: {draw: {drive: {current_A: much}}", 1)
	targets, err := schema.Find([]string{ruletest.Write(t, t.TempDir(), "bench.yaml", text)}, schema.Options{})
	if err != nil {
		t.Fatal(err)
	}
	spec := schema.Read(t.Context(), targets[0], schema.Options{}).Spec
	asked := map[string]bool{"battery-overloaded": true, "battery-peak-high": true, "house-energy-high": true}
	for _, r := range ruletest.Run(t, spec, Rules()) {
		if asked[r.Rule] && (r.Verdict != rules.NotChecked || r.Missing == "") {
			t.Errorf("%s: %s, needs %q: %s", r.Rule, r.Verdict, r.Missing, r.Message)
		}
		delete(asked, r.Rule)
	}
	if len(asked) > 0 {
		t.Errorf("no result of %v", asked)
	}
}
