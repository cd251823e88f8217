package output

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// driverName is whose output a SARIF log is.
const driverName = "Headroom"

// What code scanning takes (documented limits of GitHub code scanning): it
// shows the 5 000 gravest results of a run and refuses a file above 25 000.
const (
	sarifShown  = 5000
	sarifLimit  = 25000
	sarifLinked = 50 // findings that follow; 100 places of a result are shown
	sarifSchema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
	sourceRoot  = "%SRCROOT%"
)

// Ids of notifications, in the order of the driver's list.
const (
	notifyRunFailed = iota
	notifyCut
	notifyRemark
)

// SARIF writes the report as SARIF 2.1.0 (OASIS), gravest findings first.
// Paths are relative to the root of the repository; columns count Unicode code
// points. Findings that follow from another one are that one's related
// locations, so that one weak cable does not open five alerts.
func SARIF(w io.Writer, r *report.Report, _ Options) error {
	s := sarifWriter{report: r, index: make(map[string]int, len(r.Rules))}
	for i, rule := range r.Rules {
		s.index[rule.ID] = i
	}
	results, cut := s.results()
	settleSuppressions(results)
	properties := runProperties(r.Count(), plainText(report.Caution))
	if part := r.WithErrors(); part != nil {
		part.LeftOut, part.Places = cut, s.places
		properties["shard"] = part
	}
	return encodeJSON(w, sarifLog{
		Schema:  sarifSchema,
		Version: "2.1.0",
		Runs: []sarifRun{{
			Tool:        sarifTool{Driver: s.driver()},
			Invocations: []sarifInvocation{s.invocation(cut)},
			OriginalURIBaseIDs: map[string]sarifArtifact{
				sourceRoot: {Description: &sarifText{Text: "The root of the repository."}},
			},
			// The slash ends the category: it stays the same from run to run, so
			// that alerts are matched and closed.
			AutomationDetails: sarifAutomation{ID: category(r.Category)},
			ColumnKind:        "unicodeCodePoints",
			Results:           results,
			Properties:        properties,
		}},
	})
}

// runProperties are what is said of the run beside its results.
func runProperties(c report.Counts, caution string) map[string]any {
	properties := map[string]any{"counts": c, "caution": caution}
	if text := c.DraftText(); text != "" {
		properties["draft"] = text
	}
	return properties
}

// category is the id of the run by which code scanning tells the results of one
// fleet from those of another.
func category(name string) string {
	if name == "" {
		return "headroom/"
	}
	return "headroom/" + name + "/"
}

type sarifWriter struct {
	report *report.Report
	index  map[string]int // of each rule in the driver's list
	places []int          // of a shard's results, see [report.Part]
}

func (s *sarifWriter) driver() sarifDriver {
	version := semanticVersion(s.report.Version)
	d := sarifDriver{
		Name:            driverName,
		FullName:        "Headroom, a linter for the electrical specification of small electric vehicles",
		Version:         version,
		SemanticVersion: version,
		InformationURI:  s.report.Home,
		Rules:           []sarifDescriptor{},
		Notifications: []sarifDescriptor{
			notifyRunFailed: notice("run-failed", "A part of the run could not be done.",
				"A vehicle or a path could not be read or evaluated; its findings are missing here, the others are complete."),
			notifyCut: notice("results-cut", "There are more results than code scanning accepts.",
				"The most severe results are here; the text and JSON outputs have them all."),
			notifyRemark: notice("run-remark", "A remark about the run.",
				"A vehicle that the older revision has is gone, or a file that looks like a specification is not read."),
		},
	}
	for _, rule := range s.report.Rules {
		d.Rules = append(d.Rules, s.descriptor(rule))
	}
	return d
}

// notice describes a notification.
func notice(id string, short, full safe.Message) sarifDescriptor {
	return sarifDescriptor{
		ID: id, Name: pascalCase(id), ShortDescription: sarifText{Text: short},
		FullDescription: &sarifText{Text: full}, Help: &sarifText{Text: full},
	}
}

func (s *sarifWriter) descriptor(rule *rules.Rule) sarifDescriptor {
	title := report.Sentence(upperFirst(rule.Title))
	d := sarifDescriptor{
		ID:               rule.ID,
		Name:             pascalCase(rule.ID),
		ShortDescription: sarifText{Text: safe.Say(cmp.Or(title, rule.ID))},
		FullDescription:  &sarifText{Text: safe.Say(cmp.Or(report.Sentence(rule.Why), title, rule.ID))},
		Help:             ruleHelp(rule),
		Default:          &sarifDefault{Level: string(rule.Level)},
		Properties: map[string]any{
			"tags":             []string{"electrical", rule.Family},
			"precision":        "high",
			"problem.severity": problemSeverity(rule.Level),
		},
	}
	if s.report.Home != "" {
		d.HelpURI = s.report.Home + "#" + url.PathEscape(rule.ID)
	}
	return d
}

// ruleHelp renders a rule's documentation as text and as markdown.
func ruleHelp(rule *rules.Rule) *sarifText {
	var text safe.Builder[safe.Message]
	var markdown safe.Builder[safe.Markdown]
	add := func(head, body string) {
		if body != "" {
			text.Addf("%s: %s\n", head, report.Sentence(body))
			markdown.Addf("**%s.** %s\n\n", head, report.Sentence(body))
		}
	}
	add("What goes wrong", cmp.Or(rule.Why, rule.Title))
	add("Relation", rule.Relation)
	if rule.Required > 0 {
		add("Required headroom", report.Requirement(rule.Required)+", unless policy.required sets another for this rule")
	}
	add("Other levels", rule.Varies)
	add("Vital data", strings.Join(rule.Vital, ", "))
	add("Tuned by", strings.Join(rule.Policy, ", "))
	add("Source", rule.Source)
	add("What to do", rule.Fix)
	text.Addf("For the working with its numbers: headroom explain %s PATH SUBJECT", rule.ID)
	markdown.Addf("For the working with its numbers: %s", safe.Code("headroom explain "+rule.ID+" PATH SUBJECT"))
	return &sarifText{Text: text.Text(), Markdown: markdown.Text()}
}

// results returns the results to write, gravest first, and how many were left
// out to stay within what code scanning takes.
func (s *sarifWriter) results() (results []sarifResult, cut int) {
	findings := s.report.Findings()
	slices.SortStableFunc(findings, func(a, b report.Finding) int { return b.Level.Rank() - a.Level.Rank() })
	results = []sarifResult{} // an absent list would say that nothing was run
	seen := make(map[string]int)
	limit := sarifShown
	if s.report.WithPasses {
		limit = sarifLimit
	}
	for _, f := range findings {
		if len(results) < limit {
			results = append(results, s.finding(f, seen))
		} else {
			cut++
		}
	}
	suppressed, left := s.suppressed(limit-len(results), seen)
	results, cut = append(results, suppressed...), cut+left
	if !s.report.WithPasses {
		return results, cut
	}
	for i := range s.report.Vehicles {
		v := &s.report.Vehicles[i]
		for _, res := range v.Results {
			if res.IsFinding() || res.Verdict == rules.Waived {
				continue
			}
			if len(results) < limit {
				results = append(results, s.withoutAlarm(v, res, seen))
			} else {
				cut++
			}
		}
	}
	return results, cut
}

// base fills what all kinds of results have.
func (s *sarifWriter) base(v *report.Vehicle, res rules.Result, seen map[string]int) sarifResult {
	at := s.location(res.At)
	if at.Physical == nil { // code scanning drops a result without a place
		at.Physical = &sarifPhysical{Artifact: s.artifact(fileOf(v))}
	}
	if at.Physical.Region == nil {
		at.Physical.Region = &sarifRegion{StartLine: 1}
	}
	if res.Subject != "" {
		at.Logical = []sarifLogical{{Name: res.Subject, FullyQualifiedName: v.Name + "/" + res.Subject, Kind: "object"}}
	}
	out := sarifResult{
		RuleID:              res.Rule,
		Locations:           []sarifLocation{at},
		PartialFingerprints: map[string]string{"headroomFinding/v1": fingerprint(s.report, v, res, seen)},
		Properties:          properties(v, res),
	}
	if i, ok := s.index[res.Rule]; ok {
		out.RuleIndex = &i
	}
	out.BaselineState = baseline(v.States[res.Key()])
	if part := s.report.Part; part != nil {
		s.places = append(s.places, part.Places[s.report.Index(v)])
	}
	return out
}

func (s *sarifWriter) finding(f report.Finding, seen map[string]int) sarifResult {
	out := s.base(f.Vehicle, f.Result, seen)
	out.Kind, out.Level = "fail", string(f.Level)
	text := []safe.Message{safe.Say(report.Sentence(f.Message))}
	if numbers := report.Numbers(f.Result); numbers != "" {
		text = append(text, safe.Say(upperFirst(report.Sentence(numbers))))
	}
	if f.Fix != "" {
		text = append(text, "Fix: "+safe.Say(report.Sentence(f.Fix)))
	}
	link := func(at sarifLocation, note string) safe.Message {
		note = cmp.Or(note, "related")
		at.ID = len(out.RelatedLocations) + 1
		at.Message = &sarifText{Text: safe.Say(note)}
		out.RelatedLocations = append(out.RelatedLocations, at)
		return safe.Link(note, at.ID)
	}
	for _, place := range f.Related {
		if at := s.location(place.Position); at.Physical != nil {
			text = append(text, "See "+link(at, place.Note)+".")
		}
	}
	for i, res := range f.Follow {
		if i == sarifLinked {
			text = append(text, safe.Messagef("%s.", plural(len(f.Follow)-i, "more consequence")))
			break
		}
		if at := s.location(res.At); at.Physical != nil {
			text = append(text, "Consequence: "+link(at, res.Message)+".")
		} else {
			text = append(text, "Consequence: "+safe.Say(report.Sentence(res.Message)))
		}
	}
	if len(f.Follow) > 0 {
		var follow []map[string]any
		for _, res := range f.Follow {
			p := properties(f.Vehicle, res)
			p["rule"], p["level"], p["message"] = res.Rule, res.Level, res.Message
			follow = append(follow, p)
		}
		out.Properties["follow"] = follow
	}
	out.Message.Text = safe.Join(text, " ")
	return out
}

// withoutAlarm renders a passed check, one that rests on a declaration which a person has
// to look at ("review"), or one that lacks its data ("open").
func (s *sarifWriter) withoutAlarm(v *report.Vehicle, res rules.Result, seen map[string]int) sarifResult {
	out := s.base(v, res, seen)
	out.Kind, out.Level = "pass", "none"
	out.Message.Text = safe.Say(report.Sentence(cmp.Or(res.Message, "The check passes")))
	if res.Verdict == rules.AsDeclared {
		out.Kind = "review"
		out.Message.Text += " It passes as declared: " + safe.Say(report.Sentence(report.Believed(res)))
	}
	if res.Verdict.Unmade() {
		out.Kind = "open"
		out.Message.Text = safe.Say(report.Sentence(cmp.Or(res.Message, "Not checked")))
		if res.Missing != "" {
			out.Message.Text += " It needs " + safe.Say(report.Sentence(res.Missing))
		}
	}
	return out
}

func (s *sarifWriter) invocation(cut int) sarifInvocation {
	inv := sarifInvocation{ExecutionSuccessful: !s.report.Broken(), ExitCode: s.report.Exit}
	for _, e := range s.report.RunErrors() {
		n := sarifNotification{
			Descriptor: sarifReference{ID: "run-failed", Index: notifyRunFailed},
			Level:      "error",
			Message:    sarifText{Text: safe.Say(report.Sentence(e.String()))},
		}
		if e.At.File != "" {
			n.Locations = []sarifLocation{s.location(e.At)}
		}
		inv.Notifications = append(inv.Notifications, n)
	}
	for _, m := range s.report.Remarks {
		inv.Notifications = append(inv.Notifications, sarifNotification{
			Descriptor: sarifReference{ID: "run-remark", Index: notifyRemark},
			Level:      string(m.Level),
			Message:    sarifText{Text: safe.Say(report.Sentence(m.String()))},
			Locations:  []sarifLocation{s.location(schema.Position{File: m.Path})},
		})
	}
	if cut > 0 {
		inv.Notifications = append(inv.Notifications, cutNotice(cut))
	}
	return inv
}

// cutNotice says how many results were left out.
func cutNotice(cut int) sarifNotification {
	return sarifNotification{
		Descriptor: sarifReference{ID: "results-cut", Index: notifyCut},
		Level:      "warning",
		Message:    sarifText{Text: safe.Messagef("%s left out, the least severe ones; the text and JSON outputs have them all.", plural(cut, "result is", "results are"))},
	}
}

// fingerprint is the identity of a finding across revisions: its rule, vehicle
// and subject, never its line or wording. Fields are length-prefixed, so that
// no two lists of fields run together alike. A repeat of the same three is
// told apart by its number.
func fingerprint(r *report.Report, v *report.Vehicle, res rules.Result, seen map[string]int) string {
	h := sha256.New()
	for _, field := range []string{res.Rule, repositoryPath(r, v.Path), res.Subject} {
		fmt.Fprintf(h, "%d:%s", len(field), field)
	}
	sum := hex.EncodeToString(h.Sum(nil)[:16])
	seen[sum]++
	if n := seen[sum]; n > 1 {
		return sum + ":" + strconv.Itoa(n)
	}
	return sum
}
