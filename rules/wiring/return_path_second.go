package wiring

import (
	"example.org/headroom/rules"
	"example.org/headroom/rules/internal/circuit"
)

func returnPathSecond() *rules.Rule {
	return &rules.Rule{
		ID:     "return-path-second",
		Family: family,
		Title:  "a contactor in the negative side is bypassed by a second return path",
		Why: "A contactor or shunt in the negative side only works if every return runs through it. A meter's supply, " +
			"the chassis or the house wiring gives the current another path: thin wires carry it, and the vehicle stays on.",
		Relation: "no path connects the two sides of the open contact, except through a pre-charge resistor or another contactor",
		Source:   "circuit theory",
		Level:    rules.Error,
		Policy:   []string{"policy.precharge_bypass_A"},
		Fix:      "move the return to the load side of the contactor, or use an isolated converter or meter",
		Example: rules.Example{Vehicle: "mole", Subject: "main_contactor", Edits: []rules.Edit{
			// The contactor moves to the negative side, and a stray return leads past it.
			{Path: "busbars.b_plus_contactor.to", Value: `"drive.pos"`},
			{Path: "wires.w_drive_minus.to", Value: `"main_contactor.a"`},
			{Path: "wires.w_contactor_drive.to", Value: `"minus.stud"`},
			{Path: "wires.stray_return", Value: `{"from": "drive.neg", "to": "minus_aux.stud", "size": "1.5 mm2", "length_m": 0.4}`}}},
		Check: func(p *rules.Pass) { checkBypass(p, circuit.Negative) },
	}
}
