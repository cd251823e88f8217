package catalogue_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/internal/circuit"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// read loads a file for a benchmark.
func read(b *testing.B, path string) *schema.Spec {
	b.Helper()
	targets, err := schema.Find([]string{path}, schema.Options{})
	if err != nil || len(targets) != 1 {
		b.Fatal(targets, err)
	}
	l := schema.Read(b.Context(), targets[0], schema.Options{})
	if l.Err != nil || len(l.Problems) > 0 {
		b.Fatal(l.Err, l.Problems)
	}
	return l.Spec
}

func generated(b *testing.B, conductors int) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "generated.json")
	if err := os.WriteFile(path, ruletest.Generated(conductors), 0o644); err != nil {
		b.Fatal(err)
	}
	return path
}

// What one ordinary vehicle costs, step by step.
func BenchmarkVehicle(b *testing.B) {
	heron := filepath.Join(ruletest.Fleet(), "heron")
	b.Run("load", func(b *testing.B) {
		for b.Loop() {
			read(b, heron)
		}
	})
	spec := read(b, heron)
	b.Run("solve", func(b *testing.B) {
		for b.Loop() {
			circuit.New(spec).Solve(circuit.Case{Mode: "night"})
		}
	})
	b.Run("check", func(b *testing.B) {
		for b.Loop() {
			ruletest.Run(b, spec, catalogue.All())
		}
	})
}

// How the cost grows with the size of a vehicle.
func BenchmarkConductors(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		path := generated(b, n)
		b.Run(fmt.Sprintf("load/%d", n), func(b *testing.B) {
			for b.Loop() {
				read(b, path)
			}
		})
		spec := read(b, path)
		b.Run(fmt.Sprintf("solve/%d", n), func(b *testing.B) {
			for b.Loop() {
				circuit.New(spec).Solve(circuit.Case{Mode: "on"})
			}
		})
		b.Run(fmt.Sprintf("check/%d", n), func(b *testing.B) {
			for b.Loop() {
				ruletest.Run(b, spec, catalogue.All())
			}
		})
	}
}

// How the cost grows with the number of other things in a vehicle.
func BenchmarkGrowth(b *testing.B) {
	for kind, generate := range schema.Sorted(ruletest.Growths) {
		for _, n := range []int{100, 1000} {
			path := filepath.Join(b.TempDir(), kind+".json")
			if err := os.WriteFile(path, generate(n), 0o644); err != nil {
				b.Fatal(err)
			}
			spec := read(b, path)
			b.Run(fmt.Sprintf("%s/%d", kind, n), func(b *testing.B) {
				for b.Loop() {
					ruletest.Run(b, spec, catalogue.All())
				}
			})
		}
	}
}

// How the cost grows with the number of vehicles.
func BenchmarkVehicles(b *testing.B) {
	heron := filepath.Join(ruletest.Fleet(), "heron")
	for _, n := range []int{1, 100, 500} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				for range n {
					ruletest.Run(b, read(b, heron), catalogue.All())
				}
			}
		})
	}
}
