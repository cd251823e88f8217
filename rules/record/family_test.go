package record_test

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
)

// The family knows the ids of all rules, so that it is taken from the catalogue. The
// rules about waivers are applied to results; package waiver tests them.
func TestFamily(t *testing.T) {
	var family []*rules.Rule
	for _, rule := range catalogue.All() {
		if rule.Family == "record" && rule.Check != nil {
			family = append(family, rule)
		}
	}
	ruletest.Family(t, family, ruletest.Except{})
}
