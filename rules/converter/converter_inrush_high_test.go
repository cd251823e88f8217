package converter

import (
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/ruletest"
)

func TestInrushHigh(t *testing.T) {
	rule := inrushHigh()
	ruletest.Example(t, rule)
	for _, vehicle := range []string{"heron", "mole", "badger"} {
		ruletest.Silent(t, rule, vehicle)
	}
	play(t, rule, []scene{
		{"the key closes on it", nil, "", outcome{verdict: rules.Passed, capability: 5000}},
		{"a key that is not made for it", edits{"switches.main.poles.drive.make_A": "100"}, "", outcome{verdict: rules.Failed, level: rules.Warning, capability: 100}},
		{"not given", edits{"switches.main.poles.drive.make_A": ""}, "", outcome{verdict: rules.NotChecked, missing: "switches.main.poles.drive.make_A"}},
		{"capacitance not given", edits{"converters.dcdc.input.capacitance_uF": ""}, "", outcome{verdict: rules.NotChecked, missing: "converters.dcdc.input.capacitance_uF"}},
		{"pre-charged by a resistor", edits{"resistors.soft": `{"role": "precharge", "resistance_Ohm": 100}`, "switches.main.poles.drive.make_A": "100",
			"wires.w60": `{"from": "main.drive_a", "to": "soft.a", "size": "2.5 mm2", "length_m": 0.1}`,
			"wires.w61": `{"from": "soft.b", "to": "main.drive_b", "size": "2.5 mm2", "length_m": 0.1}`}, "", outcome{verdict: rules.Passed}},
		{"nothing switches it", edits{"wires.w2.to": `"dcdc.in_pos"`, "wires.w3": ""}, "", outcome{verdict: rules.Passed}},
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
