package measurement

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/calc"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

func TestShuntMeterMismatch(t *testing.T) {
	rule := shuntMeterMismatch()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "a pair", Subject: "amps", Want: ruletest.Want{Verdict: rules.Passed}},
		// A shunt of 300 A and 50 mV at a meter of 300 A and 75 mV shows 200 A at 300 A.
		{Name: "other millivolts", Subject: "amps", Edits: ruletest.Edits("meters.amps.drop_mV", "75"),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 100.0 / 3, Capability: 1, Message: "amps: shows 200 A at 300 A"}},
		{Name: "the same slope on a longer scale", Subject: "amps", Edits: ruletest.Edits("meters.amps.full_scale_A", "600", "meters.amps.drop_mV", "100"), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "other amperes", Subject: "amps", Edits: ruletest.Edits("meters.amps.full_scale_A", "250"), Want: ruletest.Want{Verdict: rules.Failed, Demand: 100.0 / 6}},
		{Name: "within the class of the instrument", Subject: "amps", Edits: ruletest.Edits("meters.amps.full_scale_A", "302"), Want: ruletest.Want{Verdict: rules.Passed, Demand: 2.0 / 3}},
		{Name: "millivolts not given", Subject: "amps", Edits: ruletest.Edits("meters.amps.drop_mV", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "meters.amps.drop_mV"}},
		{Name: "scale not given", Subject: "amps", Edits: ruletest.Edits("meters.amps.full_scale_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "meters.amps.full_scale_A"}},
		{Name: "no shunt named", Subject: "amps", Edits: ruletest.Edits("meters.amps.shunt", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "meters.amps.shunt"}},
		{Name: "a voltmeter reads no shunt", Subject: "volt"},
		{Name: "spare", Subject: "amps", Edits: ruletest.Edits("meters.amps.spare", "true")},
	})
}

// Every pair of drops in trade use (50, 60, 75 and 100 mV) tells a mismatch: the
// reading is the ratio of the two.
func TestEveryPairOfDrops(t *testing.T) {
	drops := []float64{50, 60, 75, 100}
	for _, shuntMV := range drops {
		for _, meterMV := range drops {
			m := &schema.Meter{FullScaleA: schema.Some(200), DropMV: schema.Some(meterMV)}
			s := shunt{Shunt: &schema.Shunt{RatedA: 200, DropMV: shuntMV}}
			deviation, shown, err := mismatch(m, s)
			if err != nil || (deviation <= classPercent) != (shuntMV == meterMV) {
				t.Errorf("shunt of %v mV at a meter for %v mV: deviation %v %% (%v)", shuntMV, meterMV, deviation, err)
			}
			if want, err := calc.MeterReading(200, shuntMV, 200, meterMV, 200); err != nil || want.Value != shown.Value {
				t.Errorf("shows %v, want %v (%v)", shown.Value, want.Value, err)
			}
		}
	}
}
