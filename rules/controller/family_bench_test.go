package controller

import (
	"os"
	"path/filepath"
	"testing"

	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// BenchmarkFamily applies the family to a demo vehicle and to a large generated
// one, the circuit included.
func BenchmarkFamily(b *testing.B) {
	large := filepath.Join(b.TempDir(), "generated.json")
	if err := os.WriteFile(large, ruletest.Generated(1000), 0o644); err != nil {
		b.Fatal(err)
	}
	for name, path := range map[string]string{"badger": filepath.Join(ruletest.Fleet(), "badger"), "1000 conductors": large} {
		b.Run(name, func(b *testing.B) {
			targets, err := schema.Find([]string{path}, schema.Options{})
			if err != nil {
				b.Fatal(err)
			}
			spec := schema.Read(b.Context(), targets[0], schema.Options{}).Spec
			for b.Loop() {
				ruletest.Run(b, spec, Rules())
			}
		})
	}
}
