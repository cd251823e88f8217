package catalogue_test

import (
	"path/filepath"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
)

// What each family costs by itself, the circuit included, on the largest demo
// vehicle and on a generated one.
func BenchmarkFamilies(b *testing.B) {
	var names []string
	families := map[string][]*rules.Rule{}
	for _, rule := range catalogue.All() {
		if rule.Check == nil {
			continue
		}
		if families[rule.Family] == nil {
			names = append(names, rule.Family)
		}
		families[rule.Family] = append(families[rule.Family], rule)
	}
	badger, large := read(b, filepath.Join(ruletest.Fleet(), "badger")), read(b, generated(b, 1000))
	for _, name := range names {
		b.Run(name+"/badger", func(b *testing.B) {
			for b.Loop() {
				ruletest.Run(b, badger, families[name])
			}
		})
		b.Run(name+"/1000", func(b *testing.B) {
			for b.Loop() {
				ruletest.Run(b, large, families[name])
			}
		})
	}
}
