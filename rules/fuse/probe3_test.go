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

func BenchmarkGen(b *testing.B) {
	for _, n := range []int{100, 1000, 10000} {
		file := filepath.Join(b.TempDir(), "g.json")
		os.WriteFile(file, ruletest.Generated(n), 0o644)
		targets, _ := schema.Find([]string{file}, schema.Options{})
		s := schema.Read(b.Context(), targets[0], schema.Options{}).Spec
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				rules.Run(s, Rules())
			}
		})
		b.Run(fmt.Sprint(n, "circuit"), func(b *testing.B) {
			for b.Loop() {
				rules.Run(s, Rules()[3:4])
			}
		})
	}
}
