package precharge_test

import (
	"testing"

	"example.org/headroom/rules/precharge"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// What the family costs by itself on the largest vehicle of the fleet.
func BenchmarkFamily(b *testing.B) {
	targets, err := schema.Find([]string{"../../testdata/fleet/badger"}, schema.Options{})
	if err != nil {
		b.Fatal(err)
	}
	spec := schema.Read(b.Context(), targets[0], schema.Options{}).Spec
	for b.Loop() {
		ruletest.Run(b, spec, precharge.Rules())
	}
}
