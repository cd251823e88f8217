package record

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestAltitudeAboveRatings(t *testing.T) {
	for altitude, want := range map[string]ruletest.Want{
		"2000": {Verdict: rules.Passed, Demand: 2000, Capability: 2000},
		"3600": {Verdict: rules.Failed, Level: rules.Note, Demand: 3600, Capability: 2000},
	} {
		got := ruletest.On(t, altitudeAboveRatings(), "heron", ruletest.Edits("vehicle.altitude_m", altitude)...)
		ruletest.Expect(t, got, "vehicle", want)
	}
}
