package wiring

import (
	"testing"

	"example.org/headroom/rules/ruletest"
)

func TestCircuitUnsolved(t *testing.T) { ruletest.Example(t, circuitUnsolved()) }
