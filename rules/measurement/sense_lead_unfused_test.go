package measurement

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/headroom/rules"
	"example.org/headroom/rules/fuse"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/rules/wiring"
)

// bare takes the fuses out of the heron's sense leads: 1.6 m of 0.5 mm2 right
// from the shunt in the negative cable behind the pack.
func bare() []rules.Edit {
	return ruletest.Edits(
		"fuses.sense_a_fuse", "", "fuses.sense_b_fuse", "", "wires.w_sense_a_tap", "", "wires.w_sense_b_tap", "",
		"wires.w_sense_a.from", `"shunt.sense_a"`, "wires.w_sense_b.from", `"shunt.sense_b"`,
	)
}

func TestSenseLeadUnfused(t *testing.T) {
	rule := senseLeadUnfused()
	tests := []struct {
		name    string
		edits   []rules.Edit
		subject string
		verdict rules.Verdict
		level   rules.Level
		demand  float64
		says    string
	}{
		{name: "fused at the shunt", subject: "shunt.sense_a", verdict: rules.Passed, demand: 0.06},
		{name: "0.178 m to the fuse", edits: ruletest.Edits("wires.w_sense_a_tap.length_m", "0.178"),
			subject: "shunt.sense_a", verdict: rules.Passed, demand: 0.178},
		{name: "0.18 m to the fuse", edits: ruletest.Edits("wires.w_sense_b_tap.length_m", "0.18"),
			subject: "shunt.sense_b", verdict: rules.Failed, level: rules.Error, demand: 0.18, says: "to its fuse sense_b_fuse"},
		{name: "no fuse", edits: bare(), subject: "shunt.sense_b", verdict: rules.Failed, level: rules.Error, demand: 1.6,
			says: "to ammeter with no fuse"},
		{name: "the pack-side lead as well", edits: bare(), subject: "shunt.sense_a", verdict: rules.Failed, demand: 1.6},
		{name: "a lead from the shunt's stud", edits: append(bare(), ruletest.Edits("wires.w_sense_a.from", `"shunt.a"`)...),
			subject: "shunt.sense_a", verdict: rules.Failed, demand: 1.6},
		{name: "a meter on the shunt needs none", edits: append(bare(), ruletest.Edits("wires.w_sense_a.length_m", "0.1")...),
			subject: "shunt.sense_a", verdict: rules.Passed, demand: 0.1},
		{name: "a fuse at the meter's end does not protect the lead", edits: ruletest.Edits(
			"wires.w_sense_a_tap.length_m", "1.6", "wires.w_sense_a.length_m", "0.06"),
			subject: "shunt.sense_a", verdict: rules.Failed, demand: 1.6},
		{name: "of two meters the one without a fuse counts", edits: ruletest.Edits(
			"meters.second", `{"shows": "current", "full_scale_A": 150, "drop_mV": 50, "shunt": "shunt"}`,
			"wires.w_second_a", `{"from": "shunt.sense_a", "to": "second.sense_a", "size": "0.5 mm2", "length_m": 0.9, "insulation": {"max_C": 90}}`,
			"wires.w_second_b", `{"from": "sense_b_fuse.b", "to": "second.sense_b", "size": "0.5 mm2", "length_m": 0.9, "insulation": {"max_C": 90}}`),
			subject: "shunt.sense_a", verdict: rules.Failed, demand: 0.9, says: "to second with no fuse"},
		{name: "a larger fuse is a note", edits: ruletest.Edits("fuses.sense_a_fuse.rated_A", "3"),
			subject: "shunt.sense_a", verdict: rules.Failed, level: rules.Note, says: "rated 3 A"},
		{name: "a larger fuse too far away is too far away", edits: ruletest.Edits("fuses.sense_a_fuse.rated_A", "3", "wires.w_sense_a_tap.length_m", "0.25"),
			subject: "shunt.sense_a", verdict: rules.Failed, level: rules.Error, demand: 0.25, says: "to its fuse"},
		{name: "leads that withstand the main fuse need none", edits: append(bare(),
			ruletest.Edits("wires.w_sense_a.size", `"70 mm2"`)...), subject: "shunt.sense_a", verdict: rules.Passed, says: "withstands"},
		{name: "of unknown insulation, taken for PVC", edits: append(bare(), ruletest.Edits("wires.w_sense_a.insulation", "")...),
			subject: "shunt.sense_a", verdict: rules.Failed, demand: 1.6, says: "with no fuse"},
		{name: "but a fuse at the shunt suffices", edits: ruletest.Edits("wires.w_sense_a_tap.insulation", ""),
			subject: "shunt.sense_a", verdict: rules.Passed, demand: 0.06},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := ruletest.Verdict(t, ruletest.On(t, rule, "heron", test.edits...), test.subject, test.verdict)
			if test.level != "" && r.Level != test.level {
				t.Errorf("level %s, want %s", r.Level, test.level)
			}
			if math.Abs(r.Demand.Value-test.demand) > 1e-9 {
				t.Errorf("demand %v, want %v m: %s", r.Demand, test.demand, r.Message)
			}
			if !strings.Contains(r.Message, test.says) {
				t.Errorf("message %q does not say %q", r.Message, test.says)
			}
		})
	}
	supply := ruletest.Edits("wires.w_ammeter_neg", `{"from": "ammeter.neg", "to": "ammeter.sense_a", "size": "0.5 mm2", "length_m": 0.02}`)
	for name, more := range map[string][]rules.Edit{
		"a lead that returns a lamp":  ruletest.Edits("wires.w_head_neg.to", `"ammeter.sense_a"`),
		"a lead that is no one's way": ruletest.Edits("wires.w_sense_a.to", `"headlamp.neg"`),
		"a lead with a second way":    ruletest.Edits("wires.w_again", `{"from": "shunt.sense_a", "to": "ammeter.sense_a", "size": "0.5 mm2", "length_m": 2}`),
		"a supply lead from the stud": append(ruletest.Edits("wires.w_sense_a.from", `"shunt.a"`), supply...),
	} {
		t.Run(name+" is checked as any conductor", func(t *testing.T) {
			if r, ok := ruletest.On(t, rule, "heron", append(bare(), more...)...)["shunt.sense_a"]; ok {
				t.Errorf("has a result: %s", r.Message)
			}
		})
	}
	t.Run("a sense lead may feed the meter's supply", func(t *testing.T) {
		got := ruletest.On(t, rule, "heron", append(bare(), supply...)...)
		ruletest.Verdict(t, got, "shunt.sense_a", rules.Failed)
	})
}

// A sense lead without a fuse is one finding at each pole: the rules about
// conductors do not ask for a thicker lead besides.
func TestSenseLeadIsOneFinding(t *testing.T) {
	spec := ruletest.Edited(t, "heron", bare())
	for _, r := range ruletest.Run(t, spec, slices.Concat(Rules(), fuse.Rules(), wiring.Rules())) {
		if r.IsFinding() && r.Rule != "sense-lead-unfused" && r.Level != rules.Note {
			t.Errorf("%s: %s", r.Key(), r.Message)
		}
	}
	// A conductor that is too thin is not said to follow from a sense lead.
	spec = ruletest.Edited(t, "heron", append(bare(), ruletest.Edits("wires.w_contactor_drive.size", `"16 mm2"`)...))
	found := map[string]bool{}
	results := ruletest.Run(t, spec, slices.Concat(fuse.Rules(), wiring.Rules()))
	for _, r := range results {
		found[r.Key()] = r.IsFinding()
	}
	for _, r := range results {
		if r.IsFinding() && r.Primary != "" && !found[r.Primary] {
			t.Errorf("%s follows from %s, which is no finding", r.Key(), r.Primary)
		}
	}
	if !found["fuse-above-ampacity/w_contactor_drive"] {
		t.Error("the conductor that is too thin is not found")
	}
	// Where the leads suit the fuses elsewhere, those rules check them.
	spec = ruletest.Edited(t, "heron", append(bare(), ruletest.Edits("wires.w_sense_a.size", `"70 mm2"`)...))
	checked := ruletest.Run(t, spec, fuse.Rules())
	if !slices.ContainsFunc(checked, func(r rules.Result) bool { return r.Key() == "fuse-above-ampacity/w_sense_a" }) {
		t.Error("fuse-above-ampacity leaves out a sense lead that no other rule checks")
	}
}
