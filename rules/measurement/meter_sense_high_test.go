package measurement

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestMeterSenseHigh(t *testing.T) {
	rule := meterSenseHigh()
	astray := ruletest.On(t, rule, "heron", rule.Example.Edits...)
	ruletest.Expect(t, astray, "ammeter", ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 84000, Relative: 0.02, Capability: 500})
	ruletest.Expect(t, ruletest.On(t, rule, "heron"), "ammeter", ruletest.Want{Verdict: rules.Passed, Capability: 500})
}
