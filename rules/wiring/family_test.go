package wiring

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

func TestFamily(t *testing.T) {
	ruletest.Family(t, Rules(), ruletest.Except{Notes: []string{"disconnect-leaves-live"}})
}
