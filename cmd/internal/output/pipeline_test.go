package output

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// many is a vehicle with so many findings of each level.
func many(perLevel int) *report.Report {
	r := &report.Report{Version: "v1.2.3", FailOn: "error", Exit: 1}
	v := report.Vehicle{Name: "Cart", Path: "cart.yaml", Files: []string{"cart.yaml"}, States: map[string]report.State{}}
	for i := range perLevel {
		for _, level := range []rules.Level{rules.Note, rules.Warning, rules.Error} {
			v.Results = append(v.Results, rules.Result{
				Rule: "conductor-overloaded", Subject: fmt.Sprintf("w_%s_%d", level, i), Verdict: rules.Failed, Level: level,
				Message: fmt.Sprintf("w%d carries 90 A; its ampacity is 60 A", i), Fix: "use 16 mm2 or more",
				Demand: rules.Quantity{Value: 90, Unit: "A"}, Capability: rules.Quantity{Value: 60, Unit: "A"}, Headroom: 60.0 / 90, Required: 1,
				At: schema.Position{File: "cart.yaml", Line: i + 1, Column: 3},
				Working: []rules.Step{
					{Symbol: "I", What: "current", Value: 90, Unit: "A", Origin: rules.Origin{Kind: rules.FromCircuit, Ref: "climb, pack empty"}},
					{Symbol: "I_z", What: "ampacity", Formula: "heat balance", Value: 60, Unit: "A", Origin: rules.Origin{Kind: rules.FromFormula}},
				},
			})
		}
	}
	r.Vehicles = []report.Vehicle{v}
	r.Sort()
	return r
}

func written(t *testing.T, write func(io.Writer, *report.Report, Options) error, r *report.Report) string {
	t.Helper()
	var out bytes.Buffer
	if err := write(&out, r, Options{}); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// A runner shows ten annotations of each kind: the last of them counts the rest.
func TestAnnotationsKeepToTheCap(t *testing.T) {
	for n, rest := range map[int]string{10: "", 11: "2 errors more", 400: "391 errors more"} {
		out := written(t, GitHub, many(n))
		for _, kind := range []string{"error", "warning", "notice"} {
			if got := strings.Count(out, "::"+kind+" "); got != 10 {
				t.Errorf("%d findings: %d annotations of kind %s", n, got, kind)
			}
		}
		if rest != "" && !strings.Contains(out, rest) {
			t.Errorf("%d findings: %q is not said in\n%s", n, rest, out)
		}
	}
}

// Nothing that a specification holds ends a workflow command or begins another:
// each line is one command, and its parts undo to what was meant.
func TestAnnotationsAreWhole(t *testing.T) {
	r := many(1)
	hostile := "a, b: 50%\r\n::set-output name=x::y %0A $(id) `id` \"q\" 'q' | <b> \u202e"
	r.Prefix = "team, fleet%"
	v := &r.Vehicles[0]
	for i := range v.Results {
		v.Results[i].Message, v.Results[i].Subject = hostile, hostile
		v.Results[i].At.File = "::error file=x,line=1::%0A.yaml"
	}
	command := regexp.MustCompile(`^::(error|warning|notice) (?:[a-z]+=[^,:\r\n]*)(?:,[a-z]+=[^,:\r\n]*)*::[^\r\n]*$`)
	out := written(t, GitHub, r)
	for line := range strings.Lines(out) {
		if !command.MatchString(strings.TrimSuffix(line, "\n")) {
			t.Errorf("not one workflow command: %q", line)
		}
	}
	if want := "file=team%2C fleet%25/%3A%3Aerror file=x%2Cline=1%3A%3A%250A.yaml"; !strings.Contains(out, want) {
		t.Errorf("%q is not in\n%s", want, out)
	}
}

// What stood before is no news on the lines of a change.
func TestAnnotationsLeaveOutWhatStood(t *testing.T) {
	r := many(1)
	for _, res := range r.Vehicles[0].Results {
		if res.Level == rules.Error {
			r.Vehicles[0].States[res.Key()] = report.Standing
		}
	}
	if out := written(t, GitHub, r); strings.Contains(out, "::error") || !strings.Contains(out, "::warning") {
		t.Errorf("annotations:\n%s", out)
	}
}

// A check that lost its data since the revision fails the run, so every output
// says so.
func TestLostChecksAreSaid(t *testing.T) {
	r := many(1)
	r.Since = "main"
	v := &r.Vehicles[0]
	v.Results = append(v.Results, rules.Result{Rule: "fuse-breaking-low", Subject: "main", Verdict: rules.NotChecked, Level: rules.Error,
		Missing: "fuses.main.breaking_A_dc", At: schema.Position{File: "cart.yaml", Line: 9, Column: 3}})
	v.States["fuse-breaking-low/main"] = report.Worse
	if !r.Fails() {
		t.Error("the run does not fail")
	}
	const want = "main passed in main and is no longer checked: it needs fuses.main.breaking"
	for name, write := range map[string]func(io.Writer, *report.Report, Options) error{"text": Text, "github": GitHub, "markdown": Markdown} {
		if out := strings.ReplaceAll(written(t, write, r), "&#58;", ":"); !strings.Contains(out, want) {
			t.Errorf("%s:\n%s", name, out)
		}
	}
	var suites junitSuites
	if err := xml.Unmarshal([]byte(written(t, JUnit, r)), &suites); err != nil || suites.Failures != 2 {
		t.Errorf("%d failures, %v", suites.Failures, err)
	}
}

// The page stays below what a host takes, and says what it leaves out.
func TestMarkdownStaysWithinBounds(t *testing.T) {
	for _, n := range []int{3, 200, 3000} {
		out := written(t, Markdown, many(n))
		if len(out) > markdownLimit+2000 { // the caution comes on top
			t.Errorf("%d findings make a page of %d bytes", 3*n, len(out))
		}
		if n == 3000 && !strings.Contains(out, " more; `headroom check -v` shows them all") {
			t.Error("nothing says that findings were left out")
		}
	}
}

// The page of a check holds together as that of a comparison does.
func TestMarkdownHoldsTogether(t *testing.T) {
	r := many(30)
	r.Since, r.Errors = hostile, []string{hostile}
	v := &r.Vehicles[0]
	v.Name, v.Path = hostile, hostile
	for i := range v.Results {
		res := &v.Results[i]
		res.Subject, res.Message, res.Fix, res.Mode = fmt.Sprint(hostile, i), hostile, hostile, hostile
		res.At.File = hostile
		switch i % 9 {
		case 3:
			res.Primary = v.Results[0].Key()
		case 4:
			v.States[res.Key()] = report.Standing
		case 5:
			res.Verdict, res.Missing = rules.NotChecked, hostile
		case 6:
			res.Verdict, res.Waiver = rules.Waived, &rules.Waiver{Reason: hostile, ApprovedBy: hostile, Expires: "2027-03-31"}
		}
	}
	page := written(t, Markdown, r)
	for _, part := range []string{" consequences: ", "already in", "waived finding", "checks not made", "more errors and warnings", "could not be done"} {
		if !strings.Contains(page, part) {
			t.Errorf("%q is not on the page, so nothing is known of it", part)
		}
	}
	holdsTogether(t, page)
}

// Of a fleet too large for the page the gravest vehicles are on it, and of a run
// that went wrong everywhere the beginning; the rest is counted.
func TestMarkdownOfALargeFleet(t *testing.T) {
	r := &report.Report{Since: "main"}
	for i := range 400 {
		v := many(4).Vehicles[0]
		v.Name, v.Path = fmt.Sprintf("Cart %d", i), fmt.Sprintf("cart%d.yaml", i)
		for _, res := range v.Results {
			if i < 300 || res.Level != rules.Error { // their errors stood before
				v.States[res.Key()] = report.Standing
			}
		}
		r.Vehicles = append(r.Vehicles, v)
		r.Errors = append(r.Errors, fmt.Sprintf("path %d is not there", i))
	}
	out := written(t, Markdown, r)
	if len(out) > markdownLimit+2000 {
		t.Errorf("%d bytes", len(out))
	}
	for _, want := range []string{"#### Cart 300 ", "\n> 380 more could not be done", " vehicles are left out for lack of space", "<summary>8 findings already in main</summary>"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	if strings.Contains(out, "#### Cart 0 ") {
		t.Error("a vehicle in which nothing is new takes the room of one with new errors")
	}
}

// The counts of the report are those of its cases, and failures are what fails
// the run.
func TestJUnitCounts(t *testing.T) {
	for failOn, want := range map[string]int{"error": 5, "warning": 10, "note": 15, "never": 0} {
		r := many(5)
		r.FailOn = failOn
		var suites junitSuites
		if err := xml.Unmarshal([]byte(written(t, JUnit, r)), &suites); err != nil {
			t.Fatal(err)
		}
		failures := 0
		for _, c := range suites.Suites[0].Cases {
			if c.Failure != nil {
				failures++
			}
		}
		if failures != want || suites.Failures != want || suites.Suites[0].Failures != want || suites.Tests != 15 {
			t.Errorf("--fail-on %s: %d failures of %d cases, counted %d", failOn, failures, suites.Tests, suites.Failures)
		}
	}
}

// Readers take two cases of one name for one.
func TestJUnitNamesAreUnique(t *testing.T) {
	r := many(1)
	for i := range r.Vehicles[0].Results {
		r.Vehicles[0].Results[i].Subject = "w1"
	}
	var suites junitSuites
	if err := xml.Unmarshal([]byte(written(t, JUnit, r)), &suites); err != nil {
		t.Fatal(err)
	}
	seen := map[safe.XML]bool{}
	for _, c := range suites.Suites[0].Cases {
		if seen[c.Name] {
			t.Errorf("%s comes twice", c.Name)
		}
		seen[c.Name] = true
	}
}

// The fields that GitLab documents for Code Quality, each in its form.
func TestGitLabFields(t *testing.T) {
	nowhere := many(1)
	nowhere.Errors = []string{"no such path"}
	nowhere.Vehicles[0].Results[0].At = schema.Position{}
	for _, r := range []*report.Report{fixture(), many(30), nowhere} {
		var list []map[string]any
		if err := json.Unmarshal([]byte(written(t, GitLab, r)), &list); err != nil {
			t.Fatal(err)
		}
		seen := map[string]bool{}
		for _, issue := range list {
			location := issue["location"].(map[string]any)
			path := location["path"].(string)
			switch {
			case issue["description"] == "" || issue["check_name"] == "":
				t.Errorf("without a text: %v", issue)
			case path == "" || strings.HasPrefix(path, "/") || strings.HasPrefix(path, "./"):
				t.Errorf("path %q", path)
			case location["lines"].(map[string]any)["begin"].(float64) < 1:
				t.Errorf("lines %v", location)
			case !strings.Contains("info minor major critical blocker", issue["severity"].(string)):
				t.Errorf("severity %v", issue["severity"])
			}
			print := issue["fingerprint"].(string)
			if seen[print] {
				t.Errorf("the fingerprint %s comes twice: the second would be lost", print)
			}
			seen[print] = true
		}
		if want := r.Count().Findings() + len(r.RunErrors()); len(list) != want {
			t.Errorf("%d entries for %d findings and errors", len(list), want)
		}
	}
}

// Every line is key=value, whatever names a specification gives.
func TestDotenvLines(t *testing.T) {
	line := regexp.MustCompile(`^headroom_[a-z_]+=[-._/@\pL\pN]*\n$`) // nothing that a shell acts on
	r := fixture()
	r.Vehicles[1].Name = "x\nheadroom_errors=0\r\nheadroom_exit_code=0"
	r.Vehicles[1].Path = "a $(id)`id`;&|<>\"'\\ *?[]{}~!#%" + strings.Repeat("x", 6000)
	r.Vehicles[1].Results[0].Required, r.Vehicles[1].Results[0].Headroom = 1, 0.01
	r.Vehicles[1].Results[0].Subject = "x\nheadroom_errors=0"
	r.Since = "main"
	out := written(t, Dotenv, r)
	if len(out) > 5*1024 { // what GitLab takes as an artefact of variables
		t.Errorf("%d bytes", len(out))
	}
	keys := map[string]int{}
	for l := range strings.Lines(out) {
		if !line.MatchString(l) {
			t.Errorf("line %q", l)
		}
		key, _, _ := strings.Cut(l, "=")
		keys[key]++
	}
	for _, key := range []string{"headroom_errors", "headroom_exit_code", "headroom_new", "headroom_tightest", "headroom_tightest_check"} {
		if keys[key] != 1 {
			t.Errorf("%s stands %d times in\n%s", key, keys[key], out)
		}
	}
}

// Of more findings than code scanning takes the gravest are written, the rest
// counted, and the file stays below its limit of 10 MB after compression.
func TestSARIFOfManyFindings(t *testing.T) {
	r := many(2500)
	run := decodeSARIF(t, r)
	if len(run.Results) != sarifShown {
		t.Errorf("%d results", len(run.Results))
	}
	levels := map[string]int{}
	for i, res := range run.Results {
		levels[res.Level]++
		if i > 0 && rules.Level(res.Level).Rank() > rules.Level(run.Results[i-1].Level).Rank() {
			t.Fatalf("result %d is graver than the one before", i)
		}
	}
	if levels["error"] != 2500 || levels["warning"] != 2500 {
		t.Errorf("levels %v", levels)
	}
	last := run.Invocations[0].Notifications[len(run.Invocations[0].Notifications)-1]
	if last.Descriptor.ID != "results-cut" || !strings.Contains(string(last.Message.Text), "2500 results are left out") {
		t.Errorf("%+v", last)
	}
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	if _, err := io.WriteString(z, written(t, SARIF, r)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	if packed.Len() > 10<<20 {
		t.Errorf("%d bytes compressed", packed.Len())
	}
	t.Logf("5000 results: %d bytes compressed", packed.Len())
}

// One mistake from which very much follows is one result that code scanning
// takes, and a text that a person reads; each says how much more there is.
func TestMuchThatFollows(t *testing.T) {
	r := many(400)
	results := r.Vehicles[0].Results
	for i := range results {
		if results[i].Subject != "w_error_0" {
			results[i].Primary = "conductor-overloaded/w_error_0"
		}
	}
	run := decodeSARIF(t, r)
	if len(run.Results) != 1 || len(run.Results[0].RelatedLocations) != sarifLinked || !strings.Contains(string(run.Results[0].Message.Text), "1149 more consequences.") {
		t.Errorf("%d results, %d related", len(run.Results), len(run.Results[0].RelatedLocations))
	}
	if text := written(t, Text, r); strings.Count(text, "consequence: ") != followShown || !strings.Contains(text, "consequences: 1187 more (list with -v)") {
		t.Errorf("text:\n%s", text)
	}
	r.Verbose = true
	if text := written(t, Text, r); strings.Count(text, "consequence: ") != 1199 {
		t.Errorf("%d follow", strings.Count(text, "consequence: "))
	}
}
