package battery

import (
	"os"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

var fixture = ruletest.Fixture{File: "testdata/fixture.yaml"}

// second is a pack beside the fixture's, behind a fuse of its own.
func second(more ...rules.Edit) []rules.Edit {
	return append(ruletest.Edits(
		"batteries.second", `{"role": "traction", "chemistry": "LFP", "series": 15, "min_V": 40, "nominal_V": 48, "max_V": 54,
			"resistance_mOhm": {"min": 10, "typ": 10, "max": 20}, "continuous_A": 100, "peak_A": 200, "peak_s": 30, "charge_max_A": 50}`,
		"fuses.second_fuse", `{"class": "bolt-down", "rated_A": 150, "rated_V_dc": 80, "breaking_A_dc": 10000, "drop_mV": 0.1}`,
		"wires.w20", `{"from": "second.pos", "to": "second_fuse.a", "size": "120 mm2", "length_m": 0.01}`,
		"wires.w21", `{"from": "second_fuse.b", "to": "plus.stud", "size": "120 mm2", "length_m": 0.01}`,
		"wires.w22", `{"from": "second.neg", "to": "minus.stud", "size": "120 mm2", "length_m": 0.01}`,
	), more...)
}

// series is a second battery of 12 V below the fixture's pack, in one string.
func series(more ...rules.Edit) []rules.Edit {
	return append(ruletest.Edits(
		"batteries.lower", `{"role": "traction", "chemistry": "LFP", "series": 4, "min_V": 10, "nominal_V": 12, "max_V": 14,
			"resistance_mOhm": 5, "continuous_A": 90, "peak_A": 200, "peak_s": 30, "charge_max_A": 50, "charge_min_C": -10}`,
		"wires.w5.to", `"lower.neg"`,
		"wires.w20", `{"from": "pack.neg", "to": "lower.pos", "size": "120 mm2", "length_m": 0.01}`,
	), more...)
}

// diode puts a diode between the charger and the pack.
func diode() []rules.Edit {
	return ruletest.Edits(
		"diodes.d", `{"forward_V": 0.8, "continuous_A": 40}`,
		"wires.w7.to", `"d.cathode"`,
		"wires.w40", `{"from": "d.anode", "to": "charger.pos", "size": "10 mm2", "length_m": 0.1}`,
	)
}

func TestFamily(t *testing.T) {
	ruletest.Family(t, Rules(), ruletest.Except{Gaps: []string{"string-unequal"}}, fixture)
}

// A series string is one battery for everything that regards its voltage, and
// every battery of it carries the whole current.
func TestSeriesString(t *testing.T) {
	for _, r := range ruletest.Run(t, fixture.Spec(t, series(ruletest.Edits("chargers.charger.max_V", "68", "controllers.drive.max_V", "80",
		"batteries.pack.capacity_Ah", "100", "batteries.lower.capacity_Ah", "100")...)...), Rules()) {
		if !r.Verdict.Passes() {
			t.Errorf("%s on %s: %s: %s", r.Rule, r.Subject, r.Verdict, r.Message)
		}
	}
}

// The mistakes of a cart that someone assembled from what was there: each is
// caught by the rule that is there for it.
func TestCart(t *testing.T) {
	spec := ruletest.Changed(t, ruletest.First(),
		ruletest.Edits("batteries.pack.continuous_A", "30",
			"batteries.pack.peak_A", "60", "batteries.pack.peak_s", "30",
			"batteries.pack.charge_max_A", "15",
			"batteries.pack.cutoff", `{"trip_A": 80, "trip_s": 1, "by": "semiconductor"}`,
			"controllers.drive.regen_A", "60",
			"modes.downhill", `{"closed": ["isolator", "key"], "draw": {"drive": {"regen_A": 60}}, "lasts_s": 20, "every_s": 300}`,
			"chargers.charger", `{"max_V": 67, "max_A": 10, "isolated": true}`,
			"wires.w20", `{"from": "isolator.b", "to": "charger.pos", "size": "4 mm2", "length_m": 0.8}`,
			"wires.w21", `{"from": "charger.neg", "to": "drive.neg", "size": "4 mm2", "length_m": 0.8}`)...)
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
	source, err := os.ReadFile(fixture.File)
	if err != nil {
		t.Fatal(err)
	}
	text := string(source) + "\ncycle: [{mode: climb, for_s: 30}, {mode: off, for_s: 60}]\n"
	text = strings.Replace(text, "climb: {draw: {drive: {current_A: 160}}", "climb: {draw: {drive: {current_A: much}}", 1)
	spec := ruletest.Read(t, ruletest.Write(t, t.TempDir(), "fixture.yaml", text)).Spec
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
