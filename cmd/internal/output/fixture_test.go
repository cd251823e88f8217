package output

import (
	"errors"
	"math"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// fixture is a run made by hand that holds every kind of result, and the
// strings that break writers: quotes, line breaks, markup, percent signs,
// workflow commands, links, and letters outside ASCII and the basic plane.
func fixture() *report.Report {
	r := &report.Report{
		Version: "v1.2.3",
		Home:    "https://example.org/headroom",
		Prefix:  "team fleet",
		FailOn:  "error",
		Exit:    2,
		Rules:   fixtureRules(),
		Vehicles: []report.Vehicle{
			{Name: "Grüner Reiher", Path: "reiher", Files: []string{"reiher/modes.cue", "reiher/reiher.cue"}, Results: heronResults()},
			{Name: "::error::%0A tipper 🚚", Path: "100% tipper #2.yaml", Files: []string{"100% tipper #2.yaml"}, Results: tipperResults()},
			{Name: "slow", Path: "slow", Err: errors.New("evaluation took more than 10 s")},
		},
		Errors: []string{`no such path "cartt"`},
		Remarks: []report.Remark{
			{Level: rules.Note, Path: "old/.cart.yaml", Text: "old/.cart.yaml is not read: names that begin with a dot are passed over"},
			{Level: rules.Warning, Path: "100% gone.yaml", Text: "Gone [van] is gone since main; there it had 2 errors"},
		},
	}
	r.Sort()
	return r
}

func fixtureRules() []*rules.Rule {
	return []*rules.Rule{
		{
			ID: "conductor-overheats", Family: "conductor", Title: "conductor carries more than its ampacity", Level: rules.Warning, Required: 1,
			Why:      "Insulation softens, then the conductor shorts.",
			Relation: "I_B <= I_z", Source: "IEC 60364-4-43, 433.1", Policy: []string{"policy.terminal_max_C"}, Fix: "use a thicker conductor",
		},
		{
			ID: "fuse-does-not-protect-conductor", Family: "fuse", Title: "fuse lets its conductor overheat before it opens", Level: rules.Error, Required: 1,
			Why:      "The cable burns while the fuse holds.",
			Relation: "I_n <= I_z and I_2 <= 1.45 I_z", Source: "IEC 60364-4-43, 433.1", Fix: "use a smaller fuse or a thicker conductor",
		},
		{
			ID: "measurement-reversed", Family: "measurement", Title: "meter reads backwards", Level: rules.Note,
			Why: "Charge is read as discharge.", Relation: "sense_a on the battery's side", Source: "common practice", Fix: "swap the sense leads",
		},
		{
			ID: "spec-unknown-field", Family: "spec", Title: "unknown field", Level: rules.Error, Why: "A misspelt rating is not used.", Source: "format version 1",
		},
	}
}

func heronResults() []rules.Result {
	at := func(line, column, end int) schema.Position {
		return schema.Position{File: "reiher/reiher.cue", Line: line, Column: column, EndColumn: end}
	}
	return []rules.Result{
		{
			Rule: "conductor-overheats", Subject: "w1", Mode: "climb", Corner: "motor bay at 60 C",
			Demand: rules.Quantity{Value: 220, Unit: "A"}, Capability: rules.Quantity{Value: 187.3, Unit: "A"}, Headroom: 187.3 / 220, Required: 1,
			Verdict: rules.Failed, Level: rules.Warning, Message: "wire w1 carries 220 A, its ampacity is 187 A",
			At: at(30, 6, 8), Primary: "fuse-does-not-protect-conductor/main",
		},
		{
			Rule: "fuse-does-not-protect-conductor", Subject: "main", Mode: "climb", Corner: "copper hot",
			Demand: rules.Quantity{Value: 250, Unit: "A"}, Capability: rules.Quantity{Value: 187.3, Unit: "A"}, Headroom: 187.3 / 250, Required: 1,
			Verdict: rules.Failed, Level: rules.Error, Message: "fuse main of 250 A is above the 187 A of wire w1",
			Fix: "use a fuse of at most 175 A, or 95 mm2 for w1",
			At:  at(12, 8, 12),
			Related: []schema.Place{
				{Position: at(30, 6, 8), Note: "the wire, [sic](http://nowhere)"},
				{Position: schema.Position{File: "../teile/fuses.cue", Line: 4, Column: 2}, Note: "rated in the shared library"},
			},
			Working: []rules.Step{
				{Symbol: "I_n", What: "rated current of main", Value: 250, Unit: "A", Origin: rules.Origin{Kind: rules.FromSpec, Path: "fuses.main.rated_A", At: at(13, 12, 15)}},
				{Symbol: "T_c", What: "temperature limit of the terminals", Value: 90, Unit: "C", Origin: rules.Origin{Kind: rules.FromDefault, Ref: "policy.terminal_max_C"}},
				{Symbol: "R", What: "resistance at 90 C", Formula: "R20 (1 + 0.00393 (T_c - 20))", Numbers: "0.2720 (1 + 0.00393 * 70)", Value: 0.346826, Unit: "mOhm/m", Origin: rules.Origin{Kind: rules.FromFormula}},
				{Symbol: "k", What: "no limit given", Value: math.Inf(1), Unit: "", Origin: rules.Origin{Kind: rules.FromStandard, Ref: "IEC 60364-5-54, table A.54.2"}},
				{Symbol: "cable", What: "kind", Text: "XLPE", Origin: rules.Origin{Kind: rules.FromCircuit, Ref: "climb, running"}},
			},
		},
		{Rule: "measurement-reversed", Subject: "ammeter", Verdict: rules.Failed, Level: rules.Note, Message: "ammeter reads backwards in mode \"cruise\"", At: at(44, 1, 0)},
		{
			Rule: "conductor-overheats", Subject: "w2", Mode: "cruise",
			Demand: rules.Quantity{Value: 0, Unit: "A"}, Capability: rules.Quantity{Value: 40, Unit: "A"}, Headroom: math.Inf(1), Required: 1,
			Verdict: rules.Passed, Level: rules.Warning, Message: "wire w2 carries 0 A of 40 A", At: at(31, 6, 8),
		},
		{
			Rule: "conductor-overheats", Subject: "w3", Mode: "cruise with a very long name indeed",
			Demand: rules.Quantity{Value: 12.5, Unit: "A"}, Capability: rules.Quantity{Value: 13, Unit: "A"}, Headroom: 1.04, Required: 1,
			Verdict: rules.Passed, Level: rules.Warning, Message: "wire w3 carries 12.5 A of 13 A", At: at(32, 6, 8),
		},
		{
			Rule: "conductor-overheats", Subject: "w5", Mode: "climb",
			Demand: rules.Quantity{Value: 14, Unit: "A"}, Capability: rules.Quantity{Value: 13, Unit: "A"}, Headroom: 13.0 / 14, Required: 1,
			Verdict: rules.Waived, Level: rules.Warning, Message: "wire w5 carries 14 A, its ampacity is 13 A", Fix: "use a thicker conductor", At: at(34, 6, 8),
			Waiver: &rules.Waiver{Reason: "Measured: 71 C after an hour, in [free air](http://nowhere)\n::error::", ApprovedBy: "workshop lead",
				Expires: "2027-03-31", DownTo: schema.Some(0.92), At: at(50, 3, 9)},
		},
		{Rule: "measurement-reversed", Subject: "voltmeter", Verdict: rules.Waived, Level: rules.Note, Message: "voltmeter reads backwards", At: at(45, 1, 0),
			Waiver: &rules.Waiver{Reason: "It is read at standstill only.", ApprovedBy: "night\x1b[31m shift | <b>", Expires: "2027-04-01",
				At: schema.Position{File: "../policy/waivers.cue", Line: 6, Column: 2}}},
		{Rule: "conductor-overheats", Subject: "w4", Verdict: rules.NotChecked, Level: rules.Warning, Message: "wire w4 has no length", Missing: "wires.w4.length_m", At: at(33, 6, 8)},
	}
}

func tipperResults() []rules.Result {
	return []rules.Result{
		{
			Rule: "spec-unknown-field", Subject: "fuses.main.rated_amp", Verdict: rules.Failed, Level: rules.Error,
			Message: "unknown field `rated_amp`\n::error file=x::boom 100%\u202e <b>\x1b[31m",
			Fix:     "did you mean `rated_A`?",
			At:      schema.Position{File: "100% tipper #2.yaml", Line: 7, Column: 9, EndColumn: 18},
		},
		{Rule: "spec-unknown-field", Subject: "x", Verdict: rules.Failed, Level: rules.Error, Message: "unknown field `x`", At: schema.Position{File: "100% tipper #2.yaml"}},
	}
}
