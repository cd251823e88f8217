package wiring_test

import (
	"testing"

	"example.org/headroom/rules/ruletest"
	"example.org/headroom/rules/wiring"
)

func TestTry(t *testing.T) {
	for _, rule := range wiring.Rules() {
		t.Run(rule.ID, func(t *testing.T) { ruletest.Example(t, rule) })
	}
}
