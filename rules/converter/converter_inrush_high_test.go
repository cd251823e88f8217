package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestInrushHigh(t *testing.T) {
	rule := inrushHigh()
	fixture.Play(t, rule, []ruletest.Scene{
		{Name: "the key closes on it", Want: ruletest.Want{Verdict: rules.Passed, Capability: 5000}},
		{Name: "a key that is not made for it", Edits: ruletest.Edits("switches.main.poles.drive.make_A", "100"), Want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error, Capability: 100}},
		{Name: "not given", Edits: ruletest.Edits("switches.main.poles.drive.make_A", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "switches.main.poles.drive.make_A"}},
		{Name: "capacitance not given", Edits: ruletest.Edits("converters.dcdc.input.capacitance_uF", ""), Want: ruletest.Want{Verdict: rules.NotChecked, Missing: "converters.dcdc.input.capacitance_uF"}},
		{Name: "pre-charged by a resistor", Edits: ruletest.Edits("resistors.soft", `{"role": "precharge", "resistance_Ohm": 100}`, "switches.main.poles.drive.make_A", "100",
			"wires.w60", `{"from": "main.drive_a", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.1}`,
			"wires.w61", `{"from": "soft.b", "to": "main.drive_b", "size": "2.5 mm2", "length_m": 0.1}`), Want: ruletest.Want{Verdict: rules.Passed}},
		{Name: "nothing switches it", Edits: ruletest.Edits("wires.w2.to", `"dcdc.in_pos"`, "wires.w3", ""), Want: ruletest.Want{Verdict: rules.Passed}},
	})
}

// Of several contacts in the loop the weakest counts, not the first.
func TestInrushOnTheWeakestContact(t *testing.T) {
	later := `{"carry_A": 200, "rated_V_dc": 150, "make_A": 40, "break": [{"V": 150, "A": 200}], "source": "sheet"}`
	wire := `{"from": "later.b", "to": "minus_aux.stud", "size": "2.5 mm2", "length_m": 0.1, "colour": "orange", "insulation": {"max_C": 125, "rated_V": 600}}`
	r, ok := ruletest.On(t, inrushHigh(), "heron",
		rules.Edit{Path: "disconnects.later", Value: later},
		rules.Edit{Path: "wires.w_converter_neg.to", Value: `"later.a"`},
		rules.Edit{Path: "wires.w_later", Value: wire})["converter"]
	if !ok || r.Capability.Value != 40 {
		t.Errorf("found %v, may close on %v A: %s", ok, r.Capability.Value, r.Message)
	}
}
