package output

import (
	"encoding/xml"
	"io"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
)

// The elements of a JUnit report that readers have in common.
type (
	junitSuites struct {
		XMLName  xml.Name     `xml:"testsuites"`
		Name     safe.XML     `xml:"name,attr"`
		Tests    int          `xml:"tests,attr"`
		Failures int          `xml:"failures,attr"`
		Errors   int          `xml:"errors,attr"`
		Suites   []junitSuite `xml:"testsuite"`
	}
	junitSuite struct {
		Name       safe.XML         `xml:"name,attr"`
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
		Name  safe.XML `xml:"name,attr"`
		Value safe.XML `xml:"value,attr"`
	}
	junitCase struct {
		Class   safe.XML      `xml:"classname,attr"`
		Name    safe.XML      `xml:"name,attr"`
		Skipped *junitMessage `xml:"skipped"`
		Error   *junitMessage `xml:"error"`
		Failure *junitMessage `xml:"failure"`
		Output  safe.XML      `xml:"system-out,omitempty"`
	}
	junitMessage struct {
		Message safe.XML `xml:"message,attr"`
		Type    safe.XML `xml:"type,attr,omitempty"`
		Text    safe.XML `xml:",chardata"`
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
			s.add(junitCase{Class: "headroom", Name: safe.Element(text), Error: &junitMessage{Message: safe.Element(text), Type: "run-failed"}})
		}
		all.add(s)
	}
	w = safe.Stream(w, safe.Text)
	if err := safe.Write[safe.XML](w, xml.Header); err != nil {
		return err
	}
	e := xml.NewEncoder(w)
	e.Indent("", "  ")
	if err := e.Encode(all); err != nil {
		return err
	}
	return safe.Write[safe.XML](w, "\n")
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
	s := junitSuite{Name: safe.XMLf("%s (%s)", v.Name, v.Path)}
	class := safe.Element(v.Path)
	s.Properties = junitPropertiesOf(v.Count())
	if v.Err != nil {
		s.add(junitCase{Class: class, Name: "the vehicle can be checked", Error: &junitMessage{Message: safe.Element(v.Err.Error()), Type: "run-failed"}})
	}
	seen := map[safe.XML]int{}
	for _, res := range v.Results {
		c := junitOf(r, v, res)
		c.Class = class
		// Readers take two cases of one name for one.
		if seen[c.Name]++; seen[c.Name] > 1 {
			c.Name += safe.XMLf(" (%d)", seen[c.Name])
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
		{"as_declared", safe.XMLf("%d", c.AsDeclared)}, {"cannot_vouch", safe.XMLf("%d", c.CannotVouch)},
		{"vital_missing", safe.XMLf("%d", c.VitalMissing)},
	}
	if text := c.DraftText(); text != "" {
		list = append(list, junitProperty{"draft", safe.Element(text)})
	}
	return &junitProperties{list}
}

func junitOf(r *report.Report, v *report.Vehicle, res rules.Result) junitCase {
	c := junitCase{Name: safe.Element(strings.TrimSpace(res.Rule + " " + res.Subject))}
	message := &junitMessage{Message: safe.Element(res.Message), Type: safe.Element(res.Rule)}
	standing := v.States[res.Key()] == report.Standing
	switch {
	case res.Verdict.Unmade():
		if res.Missing != "" {
			message.Message = safe.XMLf("%s: needs %s", unmadeWord(res), res.Missing)
		}
		if r.Strict || res.Verdict == rules.NotChecked && v.States[res.Key()] == report.Worse && fails(r, res.Level) {
			c.Failure = message
		} else {
			c.Skipped = &junitMessage{Message: message.Message}
		}
	case res.Verdict == rules.AsDeclared && v.States[res.Key()] == report.Worse && fails(r, res.Level):
		message.Message = safe.Element(report.LostText(res, r.Since))
		c.Failure = message
	case res.Verdict == rules.AsDeclared:
		c.Output = safe.XMLf("passes as declared: %s", report.Believed(res))
	case res.IsFinding() && !standing && fails(r, res.Level):
		message.Text = safe.Join(junitLines(res), "\n")
		c.Failure = message
	case res.IsFinding():
		c.Output = safe.Join(append([]safe.XML{safe.XMLf("%s: %s", res.Level, res.Message)}, junitLines(res)...), "\n")
		if standing {
			c.Output += safe.XMLf("\nalready in %s", r.Since)
		}
	case res.Verdict == rules.Waived && res.Waiver != nil:
		c.Output = safe.XMLf("waived: %s\n%s: %s", res.Message, report.Accepted(res.Waiver), res.Waiver.Reason)
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
func junitLines(res rules.Result) []safe.XML {
	lines := []safe.XML{safe.Element(res.At.String()), safe.Element(report.Numbers(res))}
	if res.Fix != "" {
		lines = append(lines, safe.XMLf("fix: %s", res.Fix))
	}
	return slices.DeleteFunc(lines, func(s safe.XML) bool { return s == "" })
}
