package schema_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"go.yaml.in/yaml/v3"
	"pgregory.net/rapid"

	"example.org/headroom/schema"
)

// vehicle draws a specification without mistakes, as a tree of values.
func vehicle(t *rapid.T) map[string]any {
	number := func(name string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, name) }
	text := rapid.StringMatching(`[A-Za-zäß電Ω][ -~äß電Ω]{0,30}[A-Za-z]`)
	volts := number("volts", 12, 100)
	tree := map[string]any{
		"headroom":  1,
		"vehicle":   map[string]any{"name": text.Draw(t, "name"), "use": "off-road", "chassis": "isolated"},
		"batteries": map[string]any{"pack": map[string]any{"role": "traction", "min_V": 0.8 * volts, "nominal_V": volts, "max_V": 1.2 * volts, "resistance_mOhm": number("resistance", 1, 100)}},
		"modes":     map[string]any{"on": map[string]any{}, "n": map[string]any{}}, // words that YAML might take for something else
	}
	fuses, wires := map[string]any{}, map[string]any{}
	for i := range rapid.IntRange(1, 6).Draw(t, "fuses") {
		id := fmt.Sprintf("%s%d", rapid.SampledFrom([]string{"f", "y", "no_", "null", "e1"}).Draw(t, "id"), i)
		fuses[id] = map[string]any{"class": "blade", "rated_A": number("rated", 0.5, 500), "source": text.Draw(t, "source")}
		wires["w"+id] = map[string]any{"from": "pack.pos", "to": id + ".a", "size": rapid.SampledFrom([]string{"1.5 mm2", "2/0 AWG"}).Draw(t, "size"), "length_m": number("length", 0.01, 30)}
	}
	tree["fuses"], tree["wires"] = fuses, wires
	return tree
}

// A vehicle has the same values in YAML and in JSON, and once what was read is written and
// read again.
func TestWhatIsWrittenIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tree := vehicle(t)
		read := func(format, content string) map[string]string {
			l := schema.Read(t.Context(), schema.Target{Path: schema.Stdin, Format: format},
				schema.Options{Files: bare{}, Stdin: strings.NewReader(content), StdinName: "drawn." + format})
			if l.Err != nil || l.Spec == nil || len(l.Problems) > 0 {
				t.Fatalf("%v %+v\n%s", l.Err, l.Problems, content)
			}
			again, err := l.Spec.JSON()
			if err != nil {
				t.Fatal(err)
			}
			l2 := schema.Read(t.Context(), schema.Target{Path: schema.Stdin, Format: schema.FormatJSON},
				schema.Options{Files: bare{}, Stdin: strings.NewReader(string(again)), StdinName: "again.json"})
			if l2.Err != nil || l2.Spec == nil || len(l2.Problems) > 0 {
				t.Fatalf("written again: %v %+v\n%s", l2.Err, l2.Problems, again)
			}
			if diff := cmp.Diff(l.Spec.Values(), l2.Spec.Values()); diff != "" {
				t.Fatalf("written and read again (-before +after):\n%s", diff)
			}
			return l.Spec.Values()
		}
		asJSON, err := json.Marshal(tree)
		if err != nil {
			t.Fatal(err)
		}
		asYAML, err := yaml.Marshal(tree)
		if err != nil {
			t.Fatal(err)
		}
		want := read(schema.FormatJSON, string(asJSON))
		if diff := cmp.Diff(want, read(schema.FormatYAML, string(asYAML))); diff != "" {
			t.Errorf("(-json +yaml):\n%s", diff)
		}
		// JSON is CUE as it stands.
		if diff := cmp.Diff(want, read(schema.FormatCUE, string(asJSON))); diff != "" {
			t.Errorf("(-json +cue):\n%s", diff)
		}
	})
}
