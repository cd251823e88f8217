package schema_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/headroom/schema"
)

// generated writes a vehicle with a number of conductors and half as many
// studs, in one format. For CUE, calm tells whether it is literal or refers to
// a template, which takes the evaluator.
func generated(b *testing.B, format string, conductors int, calm bool) schema.Target {
	b.Helper()
	wires, studs := map[string]any{}, map[string]any{}
	for i := range conductors / 2 {
		studs[fmt.Sprintf("s%d", i)] = map[string]any{"thread": "M8", "material": "copper", "rated_A": 100}
	}
	n := max(1, conductors/2)
	for i := range conductors {
		wires[fmt.Sprintf("w%d", i)] = map[string]any{
			"from": fmt.Sprintf("s%d.stud", i%n), "to": fmt.Sprintf("s%d.stud", (i+1+i/n)%n), "size": "16 mm2", "length_m": 0.5 + float64(i)/1000,
			"insulation": map[string]any{"max_C": 105, "rated_V": 600}, "colour": "red", "sheathed": i%2 == 0,
		}
	}
	vehicle, err := json.MarshalIndent(map[string]any{
		"headroom": 1, "vehicle": map[string]any{"name": "Generated", "use": "off-road", "chassis": "isolated"}, "wires": wires, "studs": studs,
	}, "", "\t")
	if err != nil {
		b.Fatal(err)
	}
	content := string(vehicle)
	switch {
	case format == "yaml":
		content = strings.ReplaceAll(content, "\t", "  ") // JSON in YAML's flow style
	case format == "cue" && !calm:
		content = strings.ReplaceAll(content, `"size": "16 mm2"`, `"size": _size`)
		content = strings.TrimSuffix(strings.TrimPrefix(content, "{"), "}") + "\n_size: \"16 mm2\"\n"
	case format == "cue":
		content = strings.TrimSuffix(strings.TrimPrefix(content, "{"), "}")
	}
	file := filepath.Join(b.TempDir(), "generated."+format)
	if err := os.WriteFile(file, []byte(content), 0o644); err != nil {
		b.Fatal(err)
	}
	return schema.Target{Path: file, Format: format}
}

func BenchmarkRead(b *testing.B) {
	for _, format := range []string{"yaml", "json", "cue", "cue evaluated"} {
		for _, conductors := range []int{60, 100, 1000, 10000} {
			b.Run(fmt.Sprintf("%s/%d", format, conductors), func(b *testing.B) {
				name, _, evaluated := strings.Cut(format, " ")
				target := generated(b, name, conductors, !evaluated)
				for b.Loop() {
					l := schema.Read(context.Background(), target, schema.Options{})
					if l.Err != nil || len(l.Problems) > 0 {
						b.Fatalf("%v\n%s", l.Err, render(l.Problems))
					}
				}
			})
		}
	}
}

// BenchmarkFleet reads a vehicle of the demo fleet, which imports a parts
// library and a policy.
func BenchmarkFleet(b *testing.B) {
	for b.Loop() {
		l := schema.Read(context.Background(), schema.Target{Path: "../testdata/fleet/heron", Format: schema.FormatPackage}, schema.Options{})
		if l.Err != nil {
			b.Fatal(l.Err)
		}
	}
}
