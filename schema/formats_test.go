package schema_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"example.org/headroom/schema"
)

const formats = "../testdata/formats"

func extensions() []string { return []string{"cue", "yaml", "json"} }

// load reads a file that should be without a mistake.
func load(t *testing.T, file string) *schema.Spec {
	t.Helper()
	l := read(t, file)
	if len(l.Problems) > 0 || l.Spec == nil {
		t.Fatalf("%s: %s", file, render(l.Problems))
	}
	return l.Spec
}

func read(t *testing.T, file string) *schema.Loaded {
	t.Helper()
	targets, err := schema.Find([]string{file}, schema.Options{})
	if err != nil {
		t.Fatal(err)
	}
	l := schema.Read(t.Context(), targets[0], schema.Options{})
	if l.Err != nil {
		t.Fatal(l.Err)
	}
	return l
}

func sameSpec() cmp.Option { return cmpopts.IgnoreUnexported(schema.Spec{}) }

// TestFormatsAgree checks that one vehicle gives the same Spec in each format,
// and again when it is written out and read back.
func TestFormatsAgree(t *testing.T) {
	first := load(t, formats+"/tern.cue")
	for _, ext := range extensions() {
		spec := load(t, formats+"/tern."+ext)
		if diff := cmp.Diff(first, spec, sameSpec()); diff != "" {
			t.Errorf("%s differs from cue:\n%s", ext, diff)
		}
		written, err := spec.JSON()
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "again.json")
		if err := os.WriteFile(file, written, 0o644); err != nil {
			t.Fatal(err)
		}
		again := load(t, file)
		if diff := cmp.Diff(first, again, sameSpec()); diff != "" {
			t.Errorf("%s differs when read back:\n%s", ext, diff)
		}
		twice, err := again.JSON()
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(written), string(twice)); diff != "" {
			t.Errorf("%s is written differently the second time:\n%s", ext, diff)
		}
	}
}

// TestSpecValues checks a few values, defaults and ids of the whole vehicle.
func TestSpecValues(t *testing.T) {
	s := load(t, formats+"/tern.yaml")
	pack := s.Batteries["pack"]
	if pack.ID != "pack" || pack.Kind != "batteries" || pack.Path() != "batteries.pack" || pack.ResistanceMOhm.Max != schema.Some(56) {
		t.Errorf("pack: %+v", pack)
	}
	if aux := s.Batteries["aux"]; aux.ResistanceMOhm != (schema.Range{Typ: schema.Some(12)}) {
		t.Errorf("a plain number must set the typical resistance alone: %+v", aux.ResistanceMOhm)
	}
	for name, check := range map[string]bool{
		"default of a load":         s.Loads["headlamp"].DutyPercent == 100 && s.Loads["headlamp"].LoadKind == "led",
		"given over a default":      s.Loads["tail"].DutyPercent == 50,
		"default of the policy":     s.Policy.CollapseFraction == 0.5 && s.Policy.Ampacity == "heat-balance",
		"given in the policy":       s.Policy.TerminalMaxC == 85 && s.Policy.Required["fuse-overloaded"] == 1.25,
		"absent":                    !s.Contactors["k1"].Coil.PickupA.Known && s.Relays["k2"].Coil.Suppression == "",
		"embedded contact":          s.Disconnects["isolator"].CarryA == schema.Some(300) && s.Disconnects["isolator"].Poles == 2,
		"optional truth":            *s.Fuses["main"].Reachable && s.Fuses["lights"].Reachable == nil,
		"mode":                      s.Modes["climb"].ID == "climb" && s.Modes["climb"].Draw["drive"].PowerW == schema.Some(15000),
		"wire":                      s.Wires["w1"].Path() == "wires.w1" && s.Wires["w1"].Insulation.MaxC == schema.Some(125),
		"waiver":                    s.Waivers[0].Path() == "waivers.0" && s.Waivers[0].LastDay().Equal(time.Date(2031, 3, 31, 0, 0, 0, 0, time.UTC)) && s.Waivers[0].DownTo == schema.Some(0.8),
		"given":                     s.Given("policy.terminal_max_C") && !s.Given("policy.live_V") && s.Given("fuses.main.opening.min.0.s"),
		"not given in an absent":    !s.Given("fuses.none.rated_A"),
		"a number that equals zero": s.Panels["plate"].Parts["main"].RotationDeg == 0 && s.Panels["plate"].Parts["k1"].RotationDeg == 90,
	} {
		if !check {
			t.Errorf("%s is wrong", name)
		}
	}
}

// TestPositions checks where values stand in each format.
func TestPositions(t *testing.T) {
	for _, ext := range extensions() {
		file := formats + "/tern." + ext
		s := load(t, file)
		for path, want := range map[string]string{
			"fuses.main":                      "main",
			"fuses.main.rated_A":              "250",
			"vehicle.name":                    "Seeschwalbe – tern trike",
			"wires.w1.size":                   "70 mm2",
			"wires.w1.insulation.max_C":       "125",
			"wires.w1.insulation":             "insulation",
			"fuses.main.opening.min.1.s":      "2",
			"modes.climb.closed.2":            "drive.coil_out",
			"modes.cruise.draw.drive":         "drive",
			"modes.charging.notes":            "über Nacht",
			"fuses.main.holder.rated_A":       "main", // absent: the nearest around it
			"loads.headlamp.duty_percent":     "headlamp",
			"policy.live_V":                   "policy",
			"contactors.k1.contact.polarized": "false",
			"waivers.0.subject":               "tail",
			"waivers.0.expires":               "2031-03-31",
			"waivers.0.down_to":               "0.8",
		} {
			if got := strings.Trim(textAt(t, file, s.At(path)), `"`); got != want {
				t.Errorf("%s: %s stands at %s, where the text is %q; want %q", ext, path, s.At(path), got, want)
			}
		}
		if at := s.At("studs.none.rated_A"); !at.IsValid() {
			t.Errorf("%s: no position for an absent part: %v", ext, at)
		}
	}
}

// TestSameMistake inserts one mistake into each format and compares the
// findings and what stands at their positions.
func TestSameMistake(t *testing.T) {
	for _, mistake := range []struct {
		name string
		old  string // regular expression that finds one place in each format
		new  string
		want []string // texts at the findings
	}{
		{"misspelt field", `"?breaking_A_dc"?(:\s*)10000`, `"braking_A_dc"${1}10000`, []string{"braking_A_dc"}},
		{"wrong type", `("?breaking_A_dc"?:\s*)10000`, `${1}"10 kA"`, []string{"10 kA"}},
		{"out of range", `("?breaking_A_dc"?:\s*)10000`, `${1}-1`, []string{"-1"}},
		{"unknown value", `("?chassis"?:\s*)"?house-negative"?`, `${1}"housenegative"`, []string{"housenegative"}},
		{"unknown terminal", `"?pack\.pos"?`, `"pack.plus"`, []string{"pack.plus"}},
		{"unknown part", `("?shunt"?:\s*)"?s1"?`, `${1}"s7"`, []string{"s7"}},
		{"no unit", `("?size"?:\s*)"?70 mm2"?`, `${1}70`, []string{"70"}},
		{"empty", `("?breaking_A_dc"?:\s*)10000`, `${1}null`, []string{"null"}},
		{"contradiction", `("?nominal_V"?:\s*)72`, `${1}90`, []string{"84"}},
		{"in a list", `("?s"?:\s*)1800`, `${1}"long"`, []string{"long"}},
		{"missing field", `"?rated_A"?:\s*250,?`, ``, []string{"main"}},
		{"bad id", `"?tail"?:`, `"Tail":`, []string{"Tail"}}, // what names it "tail" does so rightly
	} {
		t.Run(mistake.name, func(t *testing.T) {
			var first []string
			for _, ext := range extensions() {
				content, err := os.ReadFile(formats + "/tern." + ext)
				if err != nil {
					t.Fatal(err)
				}
				re := regexp.MustCompile(mistake.old)
				if n := len(re.FindAllIndex(content, -1)); n != 1 {
					t.Fatalf("%s: the mistake fits %d places", ext, n)
				}
				file := filepath.Join(t.TempDir(), "tern."+ext)
				if err := os.WriteFile(file, re.ReplaceAll(content, []byte(mistake.new)), 0o644); err != nil {
					t.Fatal(err)
				}
				var findings, texts []string
				for _, p := range read(t, file).Problems {
					findings = append(findings, p.Rule+" "+p.Path+" "+p.Message+" "+p.Fix)
					texts = append(texts, strings.Trim(textAt(t, file, p.At), `"`))
				}
				if first == nil {
					first = findings
				}
				if diff := cmp.Diff(first, findings); diff != "" {
					t.Errorf("%s: findings (-%s +%s):\n%s", ext, extensions()[0], ext, diff)
				}
				if diff := cmp.Diff(mistake.want, texts); diff != "" {
					t.Errorf("%s: texts at the findings (-want +got):\n%s", ext, diff)
				}
			}
		})
	}
}

// TestShared checks that a value of a shared package is found in both places.
func TestShared(t *testing.T) {
	l := schema.Read(t.Context(), schema.Target{Path: "../testdata/fleet/heron", Format: schema.FormatPackage}, schema.Options{Root: "../testdata/fleet"})
	if l.Err != nil || l.Spec == nil || len(l.Problems) > 0 {
		t.Fatalf("%v\n%s", l.Err, render(l.Problems))
	}
	shared := 0
	for _, p := range l.Spec.Parts() {
		path := p.Common().Path() + ".source"
		at, ok := l.Spec.Shared(path)
		if !ok {
			continue
		}
		shared++
		if !strings.HasPrefix(at.File, "parts/") || at.Line == 0 {
			t.Errorf("%s comes from %s", path, at)
		}
		if own := l.Spec.At(path); !strings.HasPrefix(own.File, "heron/") || !l.Spec.Given(path) {
			t.Errorf("%s stands at %s", path, own)
		}
	}
	if shared == 0 || !l.Spec.Shares() {
		t.Errorf("%d parts have their source from the shared package; any value: %v", shared, l.Spec.Shares())
	}
	alone := schema.Read(t.Context(), schema.Target{Path: "../testdata/first/first.yaml", Format: schema.FormatYAML}, schema.Options{Root: "../testdata"})
	if alone.Spec == nil || alone.Spec.Shares() {
		t.Error("a file that imports nothing shares values")
	}
}
