package output

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// draft is a report of a draft that passes one check, another as declared, and lacks two
// data that are vital and one that is not.
func draft() *report.Report {
	lacks := func(verdict rules.Verdict, rule, subject, missing string) rules.Result {
		return rules.Result{Rule: rule, Subject: subject, Verdict: verdict, Level: rules.Error, Missing: missing, At: schema.Position{File: "a.yaml", Line: 4}}
	}
	return &report.Report{FailOn: "error", Vehicles: []report.Vehicle{{Name: "a", Path: "a.yaml", Files: []string{"a.yaml"}, Draft: true, Results: []rules.Result{
		{Rule: "passes", Subject: "p", Verdict: rules.Passed, Level: rules.Error},
		{Rule: "charger-drive-possible", Subject: "ch", Verdict: rules.AsDeclared, Level: rules.Warning, Message: "ch holds the drive back",
			Declared: []rules.Declaration{{Path: "chargers.ch.inhibits_drive", What: "the drive is held back"}}},
		{Rule: "vital-data-missing", Subject: "main", Verdict: rules.Failed, Level: rules.Warning, Message: "main: breaking capacity missing", At: schema.Position{File: "a.yaml", Line: 4}},
		lacks(rules.CannotVouch, "fuse-breaking-low", "main", "fuses.main.breaking_A_dc"),
		lacks(rules.CannotVouch, "fuse-breaking-low", "side", "fuses.side.breaking_A_dc"),
		lacks(rules.CannotVouch, "fuse-withstand-short", "w1", "fuses.main.breaking_A_dc"),
		lacks(rules.NotChecked, "fuse-spare-missing", "main", "fuses.main.spares"),
		lacks(rules.NotChecked, "fuse-breaking-low", "far", "a source that feeds far"),
	}}}}
}

// Every output says how much is vouched for, and that it is about a draft.
func TestOutputsSayWhatIsVouchedFor(t *testing.T) {
	r := draft()
	for _, f := range Formats() {
		var b bytes.Buffer
		if err := f.Write(&b, r, Options{}); err != nil {
			t.Fatal(err)
		}
		want := []string{"DRAFT: 2 vital data missing"}
		switch f.Name {
		case "json":
			want = []string{`"draft": true`, `"drafts": 1`, `"as_declared": 1`, `"cannot_vouch": 3`, `"vital_missing": 2`, `"verdict": "pass-as-declared"`}
		case "sarif":
			want = append(want, `"as_declared": 1`, `"cannot_vouch": 3`)
		case "markdown":
			want = append(want, "1 passed, 1 as declared", "3 that nobody can vouch for")
		case "junit":
			want = append(want, `name="as_declared" value="1"`, `name="cannot_vouch" value="3"`)
		case "github":
			want = append(want, "1 passed, 1 as declared, 3 that nobody can vouch for")
		case "dotenv":
			want = []string{"headroom_as_declared=1", "headroom_cannot_vouch=3", "headroom_vital_missing=2", "headroom_drafts=1", "headroom_state=DRAFT__2_vital_data_missing"}
		}
		for _, text := range want {
			if !strings.Contains(b.String(), text) {
				t.Errorf("%s does not say %q:\n%s", f.Name, text, b.String())
			}
		}
	}
	d := &report.Difference{Report: *r, Old: "old", New: "new", Pairs: []report.Pair{
		{State: report.Changed, Name: "a", Path: "a.yaml", Vehicle: &r.Vehicles[0], Comparison: &report.Comparison{}},
	}}
	for _, f := range DiffFormats() {
		var b bytes.Buffer
		if err := f.Write(&b, d, Options{}); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), "DRAFT: 2 vital data missing") {
			t.Errorf("the difference as %s does not say that it is a draft:\n%s", f.Name, b.String())
		}
	}
	var line bytes.Buffer
	if err := DiffSummary(&line, d); err != nil || !strings.HasPrefix(line.String(), "DRAFT: 2 vital data missing: old to new") {
		t.Errorf("summary of the difference: %q, error %v", line.String(), err)
	}
}

// What is missing is listed by field, what most checks wait for first, with every subject
// of it on one line.
func TestFills(t *testing.T) {
	r := draft()
	r.Vehicles[0].Draft = false
	var summary, text bytes.Buffer
	if err := Summary(&summary, r); err != nil {
		t.Fatal(err)
	}
	r.Verbose = true
	if err := Text(&text, r, Options{}); err != nil {
		t.Fatal(err)
	}
	want := `1 vehicle, 8 checks: 1 passed, 1 as declared, 0 errors, 1 warning, 0 notes, 3 that nobody can vouch for, 2 not checked (list with -v)
Fill these 2 fields to gain 3 checks; most wait for breaking_A_dc of fuses main, side
`
	if diff := cmp.Diff(want, summary.String()); diff != "" {
		t.Errorf("summary (-want +got):\n%s", diff)
	}
	_, list, _ := strings.Cut(text.String(), "[vital-data-missing]\n")
	want = `passes as declared: ch: the drive is held back (chargers.ch.inhibits_drive) [charger-drive-possible]
a.yaml: not checked; fill these 3 fields to gain 4 checks:
    breaking_A_dc of fuses main, side (vital): 3 checks: fuse-breaking-low, fuse-withstand-short
    spares of fuses main: 1 check: fuse-spare-missing
    needs a source that feeds far: 1 check: fuse-breaking-low of far
`
	if diff := cmp.Diff(want, list); diff != "" {
		t.Errorf("list (-want +got):\n%s", diff)
	}
	fills := r.Vehicles[0].Fills()
	if got := fmt.Sprint(fills[0]); len(fills) != 3 || got != "breaking_A_dc of fuses main, side" || fills[0].What != "breaking capacity for direct current" {
		t.Errorf("fills %+v", fills)
	}
}

// Who takes a datum out, or puts a bare yes in its place, loses what was vouched for.
func TestLossOfVouching(t *testing.T) {
	pass := rules.Result{Rule: "r", Subject: "s", Verdict: rules.Passed, Level: rules.Error}
	for _, tt := range []struct {
		old, now rules.Verdict
		lost     int
	}{
		{rules.Passed, rules.CannotVouch, 1}, {rules.Passed, rules.NotChecked, 1}, {rules.Passed, rules.AsDeclared, 1},
		{rules.AsDeclared, rules.CannotVouch, 1}, {rules.AsDeclared, rules.Passed, 0}, {rules.CannotVouch, rules.NotChecked, 0},
	} {
		old, now := pass, pass
		old.Verdict, now.Verdict = tt.old, tt.now
		c := &report.Comparison{Moves: []report.Move{{Old: old, New: now}}}
		if got := len(c.Lost()); got != tt.lost {
			t.Errorf("%s to %s: %d lost, want %d", tt.old, tt.now, got, tt.lost)
		}
		d := &report.Difference{Report: report.Report{FailOn: "worse"}, Pairs: []report.Pair{{Comparison: c}}}
		if d.Gates() != (tt.lost > 0) {
			t.Errorf("%s to %s: fails the run: %v", tt.old, tt.now, d.Gates())
		}
	}
}
