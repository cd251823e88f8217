package measurement

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestMeterIsolationLow(t *testing.T) {
	rule := meterIsolationLow()
	soundPass(t, rule)
	house := withEdits(setTo("wires.i1", `{"from": "aux.pos", "to": "amps.pos", "size": "0.5 mm2", "length_m": 0.1}`), setTo("wires.i2", `{"from": "aux.neg", "to": "amps.neg", "size": "0.5 mm2", "length_m": 0.1}`))
	own := withEdits(setTo("wires.i1", `{"from": "plus.stud", "to": "amps.pos", "size": "0.5 mm2", "length_m": 0.1}`), setTo("wires.i2", `{"from": "minus.stud", "to": "amps.neg", "size": "0.5 mm2", "length_m": 0.1}`))
	positive := withEdits(setTo("wires.w1.to", `"s.a"`), setTo("wires.w4", `{"from": "s.b", "to": "plus.stud", "size": "70 mm2", "length_m": 0.1}`), setTo("wires.w5.from", `"minus.stud"`))
	ruletest.Play(t, rule, metersBench, []ruletest.Scene{
		{Name: "no supply", Subject: "amps"},
		{Name: "between two networks", Subject: "amps", Edits: append(house, setTo("meters.amps.isolation_V", "500")), Want: ruletest.Want{Verdict: rules.Passed, Demand: 98.4, Capability: 500}},
		{Name: "too little between two networks", Subject: "amps", Edits: append(house, setTo("meters.amps.isolation_V", "90")),
			Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Demand: 98.4, Capability: 90}}, // 84 V + 14.4 V
		{Name: "not given between two networks", Subject: "amps", Edits: house, Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "meters.amps.isolation_V"}},
		{Name: "its negative at the shunt", Subject: "amps", Edits: own, Want: ruletest.Want{Verdict: rules.Passed, Message: "needs no isolation"}},
		{Name: "the shunt in the positive side", Subject: "amps", Edits: append(append([]rules.Edit{}, positive...), append(own, setTo("meters.amps.isolation_V", "30"))...),
			Want: ruletest.Want{Verdict: rules.Failed, Capability: 30, Demand: 84, Relative: 0.01}},
		{Name: "the same not given", Subject: "amps", Edits: append(append([]rules.Edit{}, positive...), own...), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "meters.amps.isolation_V"}},
		{Name: "fed from a network with a common negative", Subject: "amps", Edits: append(house, setTo("wires.common", `{"from": "aux.neg", "to": "minus.stud", "size": "6 mm2", "length_m": 0.1}`)),
			Want: ruletest.Want{Verdict: rules.Passed, Message: "needs no isolation"}},
	})
}
