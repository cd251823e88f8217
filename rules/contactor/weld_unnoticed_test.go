package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestWeldUnnoticed(t *testing.T) {
	rule := weldUnnoticed()
	// A wire on both ends of the auxiliary contact; where they lead does not matter here.
	wired := func(kind string) []rules.Edit {
		return ruletest.Edits("controllers.drive.weld_check", "false", "studs.first", "{}", "studs.second", "{}", "contactors.main_contactor.auxiliary", `{"form": "nc", "kind": "`+kind+`"}`,
			"wires.w_aux_a", `{"from": "main_contactor.aux_a", "to": "first.stud", "size": "1.5 mm2", "length_m": 1, "insulation": {"max_C": 105, "rated_V": 60}}`,
			"wires.w_aux_b", `{"from": "main_contactor.aux_b", "to": "second.stud", "size": "1.5 mm2", "length_m": 1, "insulation": {"max_C": 105, "rated_V": 60}}`)
	}
	// The relay of the pre-charge bridged: its resistor stays across the contact for good.
	bridged := ruletest.Edits("wires.w_bridge", `{"from": "soft_relay.common", "to": "soft_relay.no", "size": "1.5 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`)
	tests := []struct {
		name  string
		edits []rules.Edit
		want  rules.Verdict
		level rules.Level
		says  string
		cause string
	}{
		{"nothing", ruletest.Edits("controllers.drive.weld_check", "false"), rules.Failed, rules.Note, "nothing tells that main_contactor has welded", ""},
		{"a mirror contact", wired("mirror"), rules.Passed, "", "mirror contact", ""},
		{"a plain one", wired("plain"), rules.Failed, rules.Note, "moves with the armature", ""},
		{"the controller looks", nil, rules.AsDeclared, "", "its voltage falls", ""},
		{"the controller cannot see it", bridged, rules.Failed, rules.Warning, "holds it up with the key off", "contactor-bypassed/main_contactor"},
		{"the contactor stays closed by itself", ruletest.Edits("contactors.main_contactor.coil.latching", "true"), rules.Failed, rules.Warning,
			"holds it up with the key off", "contactor-stays-latched/main_contactor"},
		{"the key does not open it", ruletest.Edits("wires.w_past", `{"from": "key.house_a", "to": "main_contactor.coil_pos", "size": "1.5 mm2", "length_m": 1}`), rules.Failed, rules.Warning,
			"holds it up with the key off", "contactor-not-keyed/main_contactor"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := ruletest.On(t, rule, "heron", test.edits...)
			ruletest.Expect(t, got, "main_contactor", ruletest.Want{Verdict: test.want, Level: test.level, Message: test.says, Primary: test.cause})
		})
	}
	if got := ruletest.On(t, rule, "mole"); len(got) > 0 {
		t.Errorf("48 V off the road: %v", got)
	}
	// Without the resistance of the pack nobody knows what regeneration adds to 58 V.
	ruletest.Expect(t, ruletest.On(t, rule, "mole", ruletest.Edits("batteries.pack.resistance_mOhm", "")...), "main_contactor",
		ruletest.Want{Verdict: rules.NotChecked, Missing: "batteries.pack.resistance_mOhm"})
}
