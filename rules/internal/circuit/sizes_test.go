package circuit_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/schema"
)

// TestSizes checks that the format takes the sizes that the arithmetic knows
// (IEC 60228, ISO 6722-1, ASTM B258, SAE J1127 and J1128) and no others.
func TestSizes(t *testing.T) {
	var sizes []string
	for _, system := range []calc.System{calc.Metric, calc.AWG, calc.SAE} {
		for _, size := range calc.Sizes(system) {
			sizes = append(sizes, size.Label)
		}
	}
	if len(sizes) < 50 {
		t.Fatalf("the arithmetic knows %d sizes: %v", len(sizes), sizes)
	}
	for _, unit := range []string{"mm2", "AWG", "SAE"} {
		for _, number := range strings.Split("30 29 15 7 3 1 0 9 31 5/0 4/0 0.1 71 300 45 1.0 00 20 22 2.50 120", " ") {
			sizes = append(sizes, number+" "+unit)
		}
	}
	slices.Sort(sizes)
	sizes = slices.Compact(sizes)
	wires := make([]string, len(sizes))
	for i, size := range sizes {
		wires[i] = fmt.Sprintf("  w%d: {from: a.pos, to: a.neg, size: %q, length_m: 1}", i, size)
	}
	text := "headroom: 1\nvehicle: {name: sizes, use: off-road, chassis: none, ambient_C: {min: 0, max: 30}}\n" +
		"batteries:\n  a: {role: traction, min_V: 40, nominal_V: 48, max_V: 54}\nwires:\n" + strings.Join(wires, "\n") + "\n"
	path := filepath.Join(t.TempDir(), "sizes.yaml")
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	loaded := schema.Read(t.Context(), schema.Target{Path: path, Format: "yaml"}, schema.Options{})
	if loaded.Err != nil {
		t.Fatal(loaded.Err)
	}
	for i, size := range sizes {
		path := fmt.Sprintf("wires.w%d.size", i)
		taken := !slices.ContainsFunc(loaded.Problems, func(p schema.Problem) bool { return p.Path == path })
		parsed, err := calc.ParseSize(size)
		if known := err == nil && parsed.Label == size; known != taken {
			t.Errorf("%s: taken by the format %v, known to the arithmetic %v", size, taken, known)
		}
	}
}
