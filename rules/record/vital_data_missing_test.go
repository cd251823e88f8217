package record_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/rules"
	"example.org/headroom/rules/catalogue"
	"example.org/headroom/rules/ruletest"
	"example.org/headroom/schema"
)

// The rule is about the results of all others, so that it is tried with all of them.
func TestVitalDataMissing(t *testing.T) {
	const rule = "vital-data-missing"
	for _, tt := range []struct {
		name    string
		edits   []rules.Edit
		subject string
		want    ruletest.Want // without a verdict: no finding of the rule at all
	}{
		{name: "nothing is missing"},
		{
			name: "a rating of a fuse", edits: ruletest.Edits("fuses.main.breaking_A_dc", ""), subject: "main",
			want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error,
				Message: "main: breaking capacity for direct current missing; 1 check cannot be made: fuse-breaking-low",
				Fix:     `fill in breaking_A_dc of main; where to find it: "interrupting rating", "IR", "breaking capacity"`},
		},
		{
			name: "two of one part are one finding", subject: "main",
			edits: ruletest.Edits("fuses.main.breaking_A_dc", "", "fuses.main.rated_V_dc", ""),
			want: ruletest.Want{Verdict: rules.Failed, Level: rules.Error,
				Message: "breaking capacity for direct current and rated voltage for direct current missing; 2 checks cannot be made"},
		},
		{
			name: "a draft", subject: "main",
			edits: ruletest.Edits("fuses.main.breaking_A_dc", "", "vehicle.draft", "true"),
			want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Warning},
		},
		{
			name: "a switch that neither cuts off nor is on the traction battery", subject: "light_switch",
			edits: ruletest.Edits("switches.light_switch.poles.head.carry_A", ""),
			want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Warning},
		},
		{
			name: "the key cuts off", subject: "key",
			edits: ruletest.Edits("switches.key.poles.house.rated_V_dc", ""),
			want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Error},
		},
		{
			name: "a policy for the rule", subject: "main",
			edits: ruletest.Edits("fuses.main.breaking_A_dc", "", "policy.levels.vital-data-missing", `"note"`),
			want:  ruletest.Want{Verdict: rules.Failed, Level: rules.Note},
		},
		{name: "what only refines", edits: ruletest.Edits("fuses.main.spares", "")},
		{name: "a spare", edits: ruletest.Edits("fuses.another", `{"class": "bolt-down", "rated_A": 100, "spare": true}`)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var found []string
			results := ruletest.Run(t, ruletest.Edited(t, "heron", tt.edits), catalogue.All())
			own := map[string]rules.Result{}
			for _, r := range results {
				if r.Rule == rule {
					own[r.Subject] = r
					if r.IsFinding() {
						found = append(found, r.Subject)
					}
				}
			}
			if tt.want.Verdict == "" {
				if found != nil {
					t.Errorf("findings on %v", found)
				}
				return
			}
			ruletest.Expect(t, own, tt.subject, tt.want)
			if diff := cmp.Diff([]string{tt.subject}, found); diff != "" {
				t.Errorf("subjects (-want +got):\n%s", diff)
			}
		})
	}
}

// What is missing is listed in one place: no check is "not checked" for want of what a
// finding asks for.
func TestVitalDataMissingOnce(t *testing.T) {
	spec := ruletest.Edited(t, "heron", ruletest.Edits("batteries.pack.resistance_mOhm", "", "fuses.main.rated_V_dc", ""))
	results := ruletest.Run(t, spec, catalogue.All())
	vital := map[string]int{}
	for _, r := range results {
		if r.Verdict == rules.CannotVouch {
			vital[r.Missing]++
			if r.Primary != "vital-data-missing/pack" && r.Primary != "vital-data-missing/main" {
				t.Errorf("%s has the primary %q", r.Key(), r.Primary)
			}
		}
	}
	if vital["batteries.pack.resistance_mOhm"] < 10 || vital["fuses.main.rated_V_dc"] != 1 {
		t.Errorf("checks that nobody can vouch for: %v", vital)
	}
	for _, r := range results {
		if r.Verdict == rules.NotChecked && vital[r.Missing] > 0 {
			t.Errorf("%s is not checked for want of %s, which a finding asks for", r.Key(), r.Missing)
		}
	}
}

// Each field that a rule calls vital is one of the format.
func TestVitalFields(t *testing.T) {
	for _, r := range catalogue.All() {
		for _, field := range r.Vital {
			kind, rest, _ := strings.Cut(field, ".")
			path := kind + ".x." + strings.Replace(rest, "poles.", "poles.x.", 1)
			if name, _, _ := schema.FieldOf(path); name != field {
				t.Errorf("%s calls %s vital, which is no field", r.ID, field)
			}
		}
		if len(slices.Compact(slices.Sorted(slices.Values(r.Vital)))) != len(r.Vital) {
			t.Errorf("%s names a vital field twice: %v", r.ID, r.Vital)
		}
	}
}
