package output

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// golden compares what write writes with testdata/name.
func golden(t *testing.T, name string, write func(io.Writer) error) []byte {
	t.Helper()
	var got bytes.Buffer
	if err := write(&got); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, got.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got.String()); diff != "" {
		t.Errorf("%s (-want +got; -update accepts it):\n%s", name, diff)
	}
	return got.Bytes()
}

func TestGolden(t *testing.T) {
	with := func(change func(*report.Report)) *report.Report {
		r := fixture()
		change(r)
		return r
	}
	none := func(*report.Report) {}
	passes := func(r *report.Report) { r.WithPasses = true }
	hidden := func(r *report.Report) { r.HideWaived = true }
	verbose := func(r *report.Report) { r.Verbose = true }
	tests := []struct {
		name  string
		write func(io.Writer) error
	}{
		{"text.txt", func(w io.Writer) error { return Text(w, with(none), Options{}) }},
		{"text-colour.txt", func(w io.Writer) error { return Text(w, with(none), Options{Colour: true}) }},
		{"text-verbose.txt", func(w io.Writer) error { return Text(w, with(verbose), Options{}) }},
		{"summary.txt", func(w io.Writer) error { return Summary(w, with(none)) }},
		{"report.json", func(w io.Writer) error { return JSON(w, with(none), Options{}) }},
		{"report-passes.json", func(w io.Writer) error { return JSON(w, with(passes), Options{}) }},
		{"report.sarif", func(w io.Writer) error { return SARIF(w, with(none), Options{}) }},
		{"report-hidden.sarif", func(w io.Writer) error { return SARIF(w, with(hidden), Options{}) }},
		{"report-passes.sarif", func(w io.Writer) error { return SARIF(w, with(passes), Options{}) }},
		{"check.md", func(w io.Writer) error { return Markdown(w, with(none), Options{}) }},
		{"annotations.txt", func(w io.Writer) error { return GitHub(w, with(none), Options{}) }},
		{"quality.json", func(w io.Writer) error { return GitLab(w, with(none), Options{}) }},
		{"junit.xml", func(w io.Writer) error { return JUnit(w, with(none), Options{}) }},
		{"junit-strict.xml", func(w io.Writer) error {
			return JUnit(w, with(func(r *report.Report) { r.Strict, r.FailOn = true, "note" }), Options{})
		}},
		{"outputs.env", func(w io.Writer) error { return Dotenv(w, with(none), Options{}) }},
		{"ratings.txt", func(w io.Writer) error { return Ratings(w, with(none), 2, Options{}) }},
		{"ratings-all.txt", func(w io.Writer) error { return Ratings(w, with(none), 0, Options{}) }},
		{"ratings.json", func(w io.Writer) error { return RatingsJSON(w, with(none)) }},
		{"working.txt", func(w io.Writer) error {
			v := &with(none).Vehicles[0]
			for _, res := range v.Results {
				if err := Working(w, v, res, Options{}); err != nil {
					return err
				}
			}
			return nil
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { golden(t, tt.name, tt.write) })
	}
}

// sarifValidator compiles the JSON schema that OASIS publishes with SARIF 2.1.0.
func sarifValidator(t *testing.T) *jsonschema.Schema {
	t.Helper()
	f, err := os.Open("../../../testdata/sarif/sarif-schema-2.1.0.json")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	doc, err := jsonschema.UnmarshalJSON(f)
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("sarif.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("sarif.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSARIFFollowsItsSchema(t *testing.T) {
	empty := &report.Report{Version: "(devel)", FailOn: "error"}
	passes, hidden := fixture(), fixture()
	passes.WithPasses, hidden.HideWaived = true, true
	validator := sarifValidator(t)
	for name, r := range map[string]*report.Report{"fixture": fixture(), "passes": passes, "hidden": hidden, "empty": empty} {
		t.Run(name, func(t *testing.T) {
			var out bytes.Buffer
			if err := SARIF(&out, r, Options{}); err != nil {
				t.Fatal(err)
			}
			doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(out.Bytes()))
			if err != nil {
				t.Fatal(err)
			}
			if err := validator.Validate(doc); err != nil {
				t.Errorf("%v\n%s", err, out.String())
			}
		})
	}
}

// decodeSARIF writes the report and reads it back.
func decodeSARIF(t *testing.T, r *report.Report) sarifRun {
	t.Helper()
	var out bytes.Buffer
	if err := SARIF(&out, r, Options{}); err != nil {
		t.Fatal(err)
	}
	var log sarifLog
	if err := json.Unmarshal(out.Bytes(), &log); err != nil {
		t.Fatal(err)
	}
	return log.Runs[0]
}

func TestSARIFFingerprintSurvivesMovesAndRewording(t *testing.T) {
	before := decodeSARIF(t, fixture())
	moved := fixture()
	for i := range moved.Vehicles {
		for j := range moved.Vehicles[i].Results {
			res := &moved.Vehicles[i].Results[j]
			res.At.Line += 17
			res.Message = "in other words: " + res.Message
			res.Mode = "another"
		}
	}
	after := decodeSARIF(t, moved)
	prints := func(run sarifRun) []string {
		var out []string
		for _, res := range run.Results {
			out = append(out, res.RuleID+" "+res.PartialFingerprints["headroomFinding/v1"])
		}
		return out
	}
	if diff := cmp.Diff(prints(before), prints(after)); diff != "" {
		t.Errorf("fingerprints (-before +after):\n%s", diff)
	}
	seen := map[string]bool{}
	for _, p := range prints(before) {
		if seen[p] {
			t.Errorf("two findings share the fingerprint %s", p)
		}
		seen[p] = true
	}
}

func TestSARIFCutsTheLeastGrave(t *testing.T) {
	r := &report.Report{Rules: fixtureRules(), Vehicles: []report.Vehicle{{Name: "v", Path: "v"}}}
	for i := range sarifShown + 3 {
		level := rules.Note
		if i >= sarifShown { // the gravest stand last in the file
			level = rules.Error
		}
		r.Vehicles[0].Results = append(r.Vehicles[0].Results, rules.Result{
			Rule: "measurement-reversed", Subject: fmt.Sprint("m", i), Verdict: rules.Failed, Level: level, Message: "m",
			At: schema.Position{File: "v/v.cue", Line: i + 1, Column: 1},
		})
	}
	run := decodeSARIF(t, r)
	if len(run.Results) != sarifShown {
		t.Fatalf("%d results, want %d", len(run.Results), sarifShown)
	}
	for i, res := range run.Results[:4] {
		if want := i < 3; (res.Level == "error") != want {
			t.Errorf("result %d is of level %s", i, res.Level)
		}
	}
	notes := run.Invocations[0].Notifications
	if len(notes) != 1 || !strings.Contains(string(notes[0].Message.Text), "3 results are left out") {
		t.Errorf("notifications = %+v, want one that says how many are left out", notes)
	}
}

func TestSARIFNamesNoPlaceOutsideTheRepository(t *testing.T) {
	r := fixture()
	var out bytes.Buffer
	if err := SARIF(&out, r, Options{}); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{"file://", "\\u0000", "\"/"} {
		if strings.Contains(out.String(), bad) {
			t.Errorf("output holds %q", bad)
		}
	}
	run := decodeSARIF(t, r)
	var uris []string
	for _, res := range run.Results {
		uris = append(uris, res.Locations[0].Physical.Artifact.URI)
	}
	want := []string{
		"team%20fleet/reiher/reiher.cue",
		"team%20fleet/100%25%20tipper%20%232.yaml", "team%20fleet/100%25%20tipper%20%232.yaml",
		"team%20fleet/reiher/reiher.cue",
		"team%20fleet/reiher/reiher.cue", "team%20fleet/reiher/reiher.cue",
	}
	if diff := cmp.Diff(want, uris); diff != "" {
		t.Errorf("URIs (-want +got):\n%s", diff)
	}
}

// A finding is one line for problem matchers, whatever its text holds, and
// nothing that comes from the spec can start a line.
func TestTextLinesAreSafe(t *testing.T) {
	r := fixture()
	r.Vehicles[1].Results[0].At.File = "::error::x"
	var out bytes.Buffer
	if err := Text(&out, r, Options{}); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(out.String()) {
		if strings.HasPrefix(line, "::") {
			t.Errorf("line starts with a workflow command: %q", line)
		}
		if strings.ContainsAny(strings.TrimSuffix(line, "\n"), "\x1b\r\u202e") {
			t.Errorf("line holds a control character: %q", line)
		}
	}
}

func TestRatingsFitTheirWidth(t *testing.T) {
	var out bytes.Buffer
	if err := Ratings(&out, fixture(), 0, Options{}); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(out.String()) {
		if n := len([]rune(strings.TrimSuffix(line, "\n"))); n > ratingsWidth {
			t.Errorf("line of %d columns: %q", n, line)
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestWritersReportErrors(t *testing.T) {
	r := fixture()
	for _, f := range Formats() {
		if err := f.Write(fullDisk{}, r, Options{}); err == nil {
			t.Errorf("%s: no error from a full disk", f.Name)
		}
	}
	if err := Ratings(fullDisk{}, r, 0, Options{}); err == nil {
		t.Error("ratings: no error from a full disk")
	}
	if err := Working(fullDisk{}, &r.Vehicles[0], r.Vehicles[0].Results[0], Options{}); err == nil {
		t.Error("working: no error from a full disk")
	}
}

// A waived finding is a suppressed result with who accepts it and why, and the
// other results of the run say that they are not suppressed; or it is left out
// and no result says anything.
func TestSARIFSuppressions(t *testing.T) {
	shown, passes, hidden := fixture(), fixture(), fixture()
	passes.WithPasses, hidden.HideWaived = true, true
	for name, r := range map[string]*report.Report{"shown": shown, "passes": passes} {
		suppressed := map[string]sarifSuppression{}
		for _, res := range decodeSARIF(t, r).Results {
			if res.Suppressions == nil {
				t.Errorf("%s: %s says nothing of suppressions", name, res.RuleID)
			}
			for _, s := range res.Suppressions {
				if res.Kind != "fail" {
					t.Errorf("%s: a suppressed result of kind %s", name, res.Kind)
				}
				suppressed[res.Properties["subject"].(string)] = s
			}
		}
		if len(suppressed) != 2 {
			t.Errorf("%s: suppressed are %v", name, suppressed)
		}
		s := suppressed["w5"]
		const want = `Measured: 71 C after an hour, in [free air](http://nowhere)\n::error::. Accepted by workshop lead until 2027-03-31, down to a headroom of 0.92.`
		if s.Kind != "external" || s.Status != "accepted" || s.Justification != want || s.Location.Physical.Region.StartLine != 50 {
			t.Errorf("%s: suppression %+v", name, s)
		}
	}
	for _, res := range decodeSARIF(t, hidden).Results {
		if subject := res.Properties["subject"]; res.Suppressions != nil || subject == "w5" || subject == "voltmeter" {
			t.Errorf("hidden: %s of %s is there, suppressions %v", res.RuleID, subject, res.Suppressions)
		}
	}
}

// Waived findings count against what code scanning takes like any other.
func TestSARIFCutsWaivedFindings(t *testing.T) {
	r := fixture()
	waived := r.Vehicles[0].Results
	for i := range waived {
		if waived[i].Verdict == rules.Waived {
			for range sarifShown {
				r.Vehicles[0].Results = append(r.Vehicles[0].Results, waived[i])
			}
			break
		}
	}
	run := decodeSARIF(t, r)
	cut := run.Invocations[0].Notifications[len(run.Invocations[0].Notifications)-1]
	if len(run.Results) != sarifShown || cut.Descriptor.ID != "results-cut" {
		t.Errorf("%d results, last notification %+v", len(run.Results), cut)
	}
	if len(run.Results[0].Suppressions) != 0 {
		t.Error("a waived finding stands before one that is not")
	}
}
