package contactor

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestContactorStaysLatched(t *testing.T) {
	rule := staysLatched()
	tests := []struct {
		name  string
		edits []rules.Edit
		want  rules.Verdict
	}{
		{"it needs a pulse to open", ruletest.Edits("contactors.main_contactor.coil.latching", "true"), rules.Failed},
		{"it stores that pulse", ruletest.Edits("contactors.main_contactor.coil.latching", "true", "contactors.main_contactor.coil.opens_on_loss", "true"), rules.AsDeclared},
		// The pre-charge resistor past it is no supply for the drive.
		{"a plain contactor in series opens", ruletest.Edits("contactors.main_contactor.coil.latching", "true",
			"contactors.second", `{"contact": {"carry_A": 200, "rated_V_dc": 150}, "coil": {"nominal_V": 12, "operate_V": 8, "resistance_Ohm": 20}}`,
			"wires.w_contactor_drive.to", `"second.a"`,
			"wires.w_second", `{"from": "second.b", "to": "drive.pos", "size": "50 mm2", "length_m": 0.1, "insulation": {"max_C": 105, "rated_V": 600}}`,
			"wires.w_second_on", `{"from": "soft_timer.no", "to": "second.coil_pos", "size": "1.5 mm2", "length_m": 0.2, "insulation": {"max_C": 105, "rated_V": 60}}`,
			"wires.w_second_off", `{"from": "second.coil_neg", "to": "main_contactor.coil_neg", "size": "1.5 mm2", "length_m": 0.2, "insulation": {"max_C": 105, "rated_V": 60}}`), rules.Passed},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			ruletest.Verdict(t, ruletest.On(t, rule, "heron", test.edits...), "main_contactor", test.want)
		})
	}
	if got := ruletest.On(t, rule, "heron"); len(got) > 0 {
		t.Errorf("a plain contactor: %v", got)
	}
}
