package output

import (
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// The elements of a JUnit report that readers have in common.
type (
	junitSuites struct {
		XMLName  xml.Name     `xml:"testsuites"`
		Name     string       `xml:"name,attr"`
		Tests    int          `xml:"tests,attr"`
		Failures int          `xml:"failures,attr"`
		Errors   int          `xml:"errors,attr"`
		Suites   []junitSuite `xml:"testsuite"`
	}
	junitSuite struct {
		Name       string           `xml:"name,attr"`
		Tests      int              `xml:"tests,attr"`
		Failures   int              `xml:"failures,attr"`
		Errors     int              `xml:"errors,attr"`
		Skipped    int              `xml:"skipped,attr"`
		Properties *junitProperties `xml:"properties"`
		Cases      []junitCase      `xml:"testcase"`
	}
	junitProperties struct {
		List []junitProperty `xml:"property"`
	}
	junitProperty struct {
		Name  string `xml:"name,attr"`
		Value string `xml:"value,attr"`
	}
	junitCase struct {
		Class   string        `xml:"classname,attr"`
		Name    string        `xml:"name,attr"`
		Skipped *junitMessage `xml:"skipped"`
		Error   *junitMessage `xml:"error"`
		Failure *junitMessage `xml:"failure"`
		Output  string        `xml:"system-out,omitempty"`
	}
	junitMessage struct {
		Message string `xml:"message,attr"`
		Type    string `xml:"type,attr,omitempty"`
		Text    string `xml:",chardata"`
	}
)

// JUnit writes JUnit XML: each vehicle a suite, each check a case. What fails the
// run is a failure, so that a reader of the report comes to the verdict of the
// exit code; a finding below that passes, with its text as output. A check that
// lacks its data is skipped, and a vehicle that could not be checked is an error.
func JUnit(w io.Writer, r *report.Report, _ Options) error {
	all := junitSuites{Name: "headroom"}
	for i := range r.Vehicles {
		all.add(junitVehicle(r, &r.Vehicles[i]))
	}
	if len(r.Errors) > 0 {
		s := junitSuite{Name: "the run"}
		for _, text := range r.Errors {
			s.add(junitCase{Class: "headroom", Name: junitText(text), Error: &junitMessage{Message: junitText(text), Type: "run-failed"}})
		}
		all.add(s)
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	e := xml.NewEncoder(w)
	e.Indent("", "  ")
	if err := e.Encode(all); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

func (all *junitSuites) add(s junitSuite) {
	all.Tests += s.Tests
	all.Failures += s.Failures
	all.Errors += s.Errors
	all.Suites = append(all.Suites, s)
}

func (s *junitSuite) add(c junitCase) {
	s.Tests++
	switch {
	case c.Failure != nil:
		s.Failures++
	case c.Error != nil:
		s.Errors++
	case c.Skipped != nil:
		s.Skipped++
	}
	s.Cases = append(s.Cases, c)
}

func junitVehicle(r *report.Report, v *report.Vehicle) junitSuite {
	s := junitSuite{Name: junitText(v.Name + " (" + v.Path + ")")}
	class := junitText(v.Path)
	s.Properties = junitPropertiesOf(v.Count())
	if v.Err != nil {
		s.add(junitCase{Class: class, Name: "the vehicle can be checked", Error: &junitMessage{Message: junitText(v.Err.Error()), Type: "run-failed"}})
	}
	seen := map[string]int{}
	for _, res := range v.Results {
		c := junitOf(r, v, res)
		c.Class = class
		// Readers take two cases of one name for one.
		if seen[c.Name]++; seen[c.Name] > 1 {
			c.Name += fmt.Sprintf(" (%d)", seen[c.Name])
		}
		s.add(c)
	}
	if len(s.Cases) == 0 {
		s.add(junitCase{Class: class, Name: "nothing to check"})
	}
	return s
}

// junitPropertiesOf says what the counts of cases do not tell: how many of those that pass
// rest on a declaration, how many of the skipped ones are vital, whether it is a draft.
func junitPropertiesOf(c report.Counts) *junitProperties {
	list := []junitProperty{
		{"as_declared", strconv.Itoa(c.AsDeclared)}, {"cannot_vouch", strconv.Itoa(c.CannotVouch)},
		{"vital_missing", strconv.Itoa(c.VitalMissing)},
	}
	if text := c.DraftText(); text != "" {
		list = append(list, junitProperty{"draft", text})
	}
	return &junitProperties{list}
}

func junitOf(r *report.Report, v *report.Vehicle, res rules.Result) junitCase {
	c := junitCase{Name: junitText(strings.TrimSpace(res.Rule + " " + res.Subject))}
	message := &junitMessage{Message: junitText(res.Message), Type: res.Rule}
	standing := v.States[res.Key()] == report.Standing
	switch {
	case res.Verdict.Unmade():
		if res.Missing != "" {
			message.Message = junitText(unmadeWord(res) + ": needs " + res.Missing)
		}
		if r.Strict || res.Verdict == rules.NotChecked && v.States[res.Key()] == report.Worse && fails(r, res.Level) {
			c.Failure = message
		} else {
			c.Skipped = &junitMessage{Message: message.Message}
		}
	case res.Verdict == rules.AsDeclared && v.States[res.Key()] == report.Worse && fails(r, res.Level):
		message.Message = junitText(report.LostText(res, r.Since))
		c.Failure = message
	case res.Verdict == rules.AsDeclared:
		c.Output = junitText("passes as declared: " + report.Believed(res))
	case res.IsFinding() && !standing && fails(r, res.Level):
		message.Text = junitText(strings.Join(junitLines(res), "\n"))
		c.Failure = message
	case res.IsFinding():
		c.Output = junitText(strings.Join(append([]string{string(res.Level) + ": " + res.Message}, junitLines(res)...), "\n"))
		if standing {
			c.Output += "\nalready in " + junitText(r.Since)
		}
	case res.Verdict == rules.Waived && res.Waiver != nil:
		c.Output = junitText("waived: " + res.Message + "\n" + report.Accepted(res.Waiver) + ": " + res.Waiver.Reason)
	}
	return c
}

// unmadeWord says of a check that was not made whether that is vital.
func unmadeWord(res rules.Result) string {
	if res.Verdict == rules.CannotVouch {
		return "nobody can vouch for it"
	}
	return "not checked"
}

// fails reports whether a finding of a level fails the run.
func fails(r *report.Report, level rules.Level) bool {
	threshold := rules.Level(r.FailOn).Rank()
	return threshold > 0 && level.Rank() >= threshold
}

// junitLines are the place, the numbers and the remedy of a finding.
func junitLines(res rules.Result) []string {
	lines := []string{res.At.String(), report.Numbers(res)}
	if res.Fix != "" {
		lines = append(lines, "fix: "+res.Fix)
	}
	return slices.DeleteFunc(lines, func(s string) bool { return s == "" })
}

// junitText makes text fit for XML 1.0, which has no way to write most control
// characters, line by line.
func junitText(s string) string {
	lines := strings.Split(s, "\n")
	for i := range lines {
		lines[i] = report.Plain(lines[i])
	}
	return strings.Join(lines, "\n")
}
