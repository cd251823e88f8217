package schema_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/schema"
)

func values(t *testing.T, path string) map[string]string {
	t.Helper()
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil || len(targets) != 1 {
		t.Fatal(err, targets)
	}
	l := schema.Read(t.Context(), targets[0], schema.Options{})
	if l.Err != nil || len(l.Problems) > 0 {
		t.Fatal(l.Err, l.Problems)
	}
	return l.Spec.Values()
}

// TestValuesAcrossFormats checks that a vehicle has the same values in each format.
func TestValuesAcrossFormats(t *testing.T) {
	want := values(t, "../testdata/formats/tern.yaml")
	for _, other := range []string{"tern.cue", "tern.json"} {
		if diff := cmp.Diff(want, values(t, "../testdata/formats/"+other)); diff != "" {
			t.Errorf("%s (-yaml +other):\n%s", other, diff)
		}
	}
}

func TestValues(t *testing.T) {
	dir := write(t, map[string]string{"cart.yaml": `
headroom: 1
vehicle: {name: Cart, use: off-road, chassis: isolated, altitude_m: 1000}
batteries:
  pack: {role: traction, min_V: 40, nominal_V: 48, max_V: 58, resistance_mOhm: 15}
  aux: {role: auxiliary, min_V: 10, nominal_V: 12, max_V: 15, resistance_mOhm: {min: 5, max: 20}}
fuses: {main: {class: gG, rated_A: 1.0e+2, opening: {max: [{current_A: 300, s: 60}]}}}
switches: {key: {poles: {a: {}}}}
loads: {lamp: {kind: led, power_W: 5, at_V: 12}, horn: {kind: motor, power_W: 5, at_V: 12}}
modes: {on: {"on": [lamp, horn], closed: [key]}}
`})
	got := values(t, dir+"/cart.yaml")
	for path, want := range map[string]string{
		"vehicle.altitude_m":             "1000",
		"vehicle.ambient_C.max":          "40", // a default
		"batteries.pack.resistance_mOhm": "15",
		"batteries.aux.resistance_mOhm":  `{"max":20,"min":5}`,
		"batteries.pack.continuous_A":    "", // absent
		"fuses.main.rated_A":             "100",
		"fuses.main.opening.max":         `[{"current_A":300,"s":60}]`,
		"fuses.main.spare":               "false",
		"modes.on.on":                    `["horn","lamp"]`, // a set
		"policy.terminal_max_C":          "90",
	} {
		if got[path] != want {
			t.Errorf("%s is %q, want %q", path, got[path], want)
		}
	}
}
