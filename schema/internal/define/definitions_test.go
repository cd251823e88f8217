package define

import (
	"bytes"
	"os"
	"slices"
	"strings"
	"testing"

	"cuelang.org/go/cue/cuecontext"
	"cuelang.org/go/cue/format"

	"example.org/headroom/schema/internal/source"
)

// TestDefinitionsFormat checks that the files are as the CUE formatter leaves
// them, and that each is part of Definitions.
func TestDefinitionsFormat(t *testing.T) {
	entries, err := definitionFiles.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		content, err := os.ReadFile(e.Name())
		if err != nil {
			t.Fatal(err)
		}
		formatted, err := format.Source(content)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(content, formatted) {
			t.Errorf("%s is not formatted", e.Name())
		}
		if !slices.Contains(definitionOrder(), e.Name()) {
			t.Errorf("%s is not in definitionOrder", e.Name())
		}
	}
	formatted, err := format.Source([]byte(Definitions()))
	if err != nil {
		t.Fatal(err)
	}
	if string(formatted) != Definitions() {
		t.Error("Definitions is not formatted")
	}
	if err := cuecontext.New().CompileString(Definitions()).Err(); err != nil {
		t.Errorf("Definitions does not compile: %v", err)
	}
}

// TestDefinitionsDocumented checks that every field says what it is, and that
// one with a unit in its name says that unit.
func TestDefinitionsDocumented(t *testing.T) {
	var walk func(path string, d *Definition)
	walk = func(path string, d *Definition) {
		names := map[string]bool{}
		for _, f := range d.Fields {
			at := path + "." + f.Name
			if names[f.Name] {
				t.Errorf("%s is defined twice, once where it is embedded", at)
			}
			names[f.Name] = true
			if f.Misleading != "" {
				continue
			}
			if f.Doc == "" {
				t.Errorf("%s has no doc comment", at)
			}
			unit := map[string]string{"deg": "degrees"}[UnitOf(f.Name)]
			if unit == "" {
				unit = UnitOf(f.Name)
			}
			if unit != "" && f.Value.Kinds.Has(source.NumberKind) && !strings.Contains(f.Doc, unit) {
				t.Errorf("%s: the doc comment does not name the unit %s: %s", at, unit, f.Doc)
			}
			if f.Need == HasDefault && f.Value.Fallback == nil && f.Value.Kinds != KindsOf(source.ObjectKind) {
				t.Errorf("%s is neither required nor optional and has no default", at)
			}
			walk(at, f.Value)
		}
		if d.Element != nil {
			walk(path+"[]", d.Element)
		}
	}
	walk("spec", Spec())
}

// TestDefaults checks the defaults that checks rely on.
func TestDefaults(t *testing.T) {
	want := map[string]any{
		"vehicle.ambient_C.min": -10.0, "vehicle.ambient_C.max": 40.0, "vehicle.altitude_m": 1000.0,
		"loads[].duty_percent": 100.0, "disconnects[].poles": 1.0, "contactors[].coil.drive": "plain",
		"contactors[].coil.suppression": nil, "busbars[].material": "copper", "busbars[].finish": "bare",
		"policy.ampacity": "heat-balance", "policy.terminal_max_C": 90.0, "policy.battery_resistance_min_factor": 0.6,
		"policy.battery_resistance_max_factor": 2.0, "policy.coil_rise_K": 50.0, "policy.coil_limit_C": 130.0,
		"policy.diode_forward_V": 0.8, "policy.contact_drop_mV": 75.0, "policy.fuse_drop_mV": 100.0,
		"policy.joint_resistance_mOhm": 0.0, "policy.converter_limit_factor": 1.1, "policy.converter_efficiency_percent": 85.0,
		"policy.converter_output_mOhm": 1.0, "policy.live_V": 5.0, "policy.precharge_bypass_A": 1.0,
		"policy.fuse_distance_m": 0.178, "policy.fuse_distance_sheathed_m": 1.016, "policy.fuse_distance_at_battery_m": 1.829,
		"policy.fault_clearing_s": 5.0, "policy.drop_critical_percent": 3.0, "policy.drop_other_percent": 10.0,
		"policy.standby_days": 30.0, "policy.collapse_fraction": 0.5,
	}
	for path, value := range want {
		d := Spec()
		for _, name := range strings.Split(path, ".") {
			name, element := strings.CutSuffix(name, "[]")
			f := d.Field(name)
			if f == nil {
				t.Fatalf("%s: no field %s", path, name)
			}
			if d = f.Value; element {
				d = d.Element
			}
		}
		if d.Fallback != value {
			t.Errorf("%s: default %v, want %v", path, d.Fallback, value)
		}
	}
}
