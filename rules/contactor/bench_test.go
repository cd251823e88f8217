package contactor_test

import (
	"testing"

	"example.org/headroom/rules/contactor"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

func BenchmarkFamily(b *testing.B) {
	targets, err := schema.Find([]string{"../../testdata/fleet/badger"}, schema.Options{})
	if err != nil {
		b.Fatal(err)
	}
	spec := schema.Read(b.Context(), targets[0], schema.Options{}).Spec
	for b.Loop() {
		ruletest.Run(b, spec, contactor.Rules())
	}
}
