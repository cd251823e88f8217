package measurement

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestMeterIsolationLow(t *testing.T) {
	rule := meterIsolationLow()
	house := ruletest.Edits("wires.i1", `{"from": "aux.pos", "to": "amps.pos", "size": "0.5 mm2", "length_m": 0.1}`, "wires.i2", `{"from": "aux.neg", "to": "amps.neg", "size": "0.5 mm2", "length_m": 0.1}`)
	own := ruletest.Edits("wires.i1", `{"from": "plus.stud", "to": "amps.pos", "size": "0.5 mm2", "length_m": 0.1}`, "wires.i2", `{"from": "minus.stud", "to": "amps.neg", "size": "0.5 mm2", "length_m": 0.1}`)
	positive := ruletest.Edits("wires.w1.to", `"s.a"`, "wires.w4", `{"from": "s.b", "to": "plus.stud", "size": "70 mm2", "length_m": 0.1}`, "wires.w5.from", `"minus.stud"`)
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "no supply", Subject: "amps"},
		{Name: "between two networks", Subject: "amps", Edits: append(house, ruletest.Edits("meters.amps.isolation_V", "1500")...),
			Want: ruletest.Want{Verdict: rules.Passed, Demand: 1196.8, Capability: 1500}}, // 2 (84 V + 14.4 V) + 1000 V
		{Name: "a test voltage taken for a working voltage", Subject: "amps", Edits: append(house, ruletest.Edits("meters.amps.isolation_V", "500")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 1196.8, Capability: 500}},
		{Name: "a working voltage", Subject: "amps", Edits: append(house, ruletest.Edits("meters.amps.isolation_working_V", "150")...), Want: ruletest.Want{Verdict: rules.Passed, Demand: 98.4, Capability: 150}},
		{Name: "too low a working voltage", Subject: "amps", Edits: append(house, ruletest.Edits("meters.amps.isolation_working_V", "60", "meters.amps.isolation_V", "1500")...),
			Want: ruletest.Want{Verdict: rules.Failed, Demand: 98.4, Capability: 60}},
		{Name: "too little between two networks", Subject: "amps", Edits: append(house, ruletest.Edits("meters.amps.isolation_V", "90")...),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 1196.8, Capability: 90}}, // 84 V + 14.4 V
		{Name: "not given between two networks", Subject: "amps", Edits: house, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "meters.amps.isolation_V"}},
		{Name: "its negative at the shunt", Subject: "amps", Edits: own, Want: ruletest.Want{Verdict: rules.Passed, Message: "needs no isolation"}},
		{Name: "the shunt in the positive side", Subject: "amps", Edits: append(append(ruletest.Edits(), positive...), append(own, ruletest.Edits("meters.amps.isolation_V", "30")...)...),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 30, Demand: 84, Relative: 0.01}},
		{Name: "the same not given", Subject: "amps", Edits: append(append(ruletest.Edits(), positive...), own...), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "meters.amps.isolation_V"}},
		{Name: "fed from a network with a common negative", Subject: "amps", Edits: append(house, ruletest.Edits("wires.common", `{"from": "aux.neg", "to": "minus.stud", "size": "6 mm2", "length_m": 0.1}`)...),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "needs no isolation"}},
	})
}
