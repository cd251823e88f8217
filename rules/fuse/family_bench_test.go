package fuse

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// BenchmarkFamily applies the family to generated vehicles, the circuit included.
func BenchmarkFamily(b *testing.B) {
	for _, conductors := range []int{100, 1000} {
		b.Run(fmt.Sprint(conductors), func(b *testing.B) {
			file := filepath.Join(b.TempDir(), "generated.json")
			if err := os.WriteFile(file, ruletest.Generated(conductors), 0o644); err != nil {
				b.Fatal(err)
			}
			targets, err := schema.Find([]string{file}, schema.Options{})
			if err != nil {
				b.Fatal(err)
			}
			spec := schema.Read(b.Context(), targets[0], schema.Options{}).Spec
			for b.Loop() {
				if _, err := rules.Run(spec, Rules()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
