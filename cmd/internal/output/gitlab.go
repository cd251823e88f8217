package output

import (
	"cmp"
	"io"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// gitlabIssue is one entry of a Code Quality report (the fields that GitLab
// documents as required).
type gitlabIssue struct {
	Description safe.Line      `json:"description"`
	Check       string         `json:"check_name"`
	Fingerprint string         `json:"fingerprint"`
	Severity    string         `json:"severity"`
	Location    gitlabLocation `json:"location"`
}

type gitlabLocation struct {
	Path  string      `json:"path"`
	Lines gitlabLines `json:"lines"`
}

type gitlabLines struct {
	Begin int `json:"begin"`
}

// GitLab writes a Code Quality report. The host compares the reports of both
// branches by their fingerprints itself, so findings that stand already are in
// it, and waived ones are not. A part of the run that could not be done is an
// entry too: nothing else of it would be seen there.
func GitLab(w io.Writer, r *report.Report, _ Options) error {
	list := []gitlabIssue{}
	seen := map[string]int{}
	for _, f := range r.Findings() {
		list = append(list, gitlabOf(r, f.Vehicle, f.Result, seen))
		for _, res := range f.Follow {
			list = append(list, gitlabOf(r, f.Vehicle, res, seen))
		}
	}
	for i := range r.Vehicles {
		if text := r.Vehicles[i].Count().DraftText(); text != "" {
			res := rules.Result{Rule: "draft", Level: rules.Warning, Message: text, At: schema.Position{File: fileOf(&r.Vehicles[i])}}
			list = append(list, gitlabOf(r, &r.Vehicles[i], res, seen))
		}
	}
	for _, e := range r.RunErrors() {
		v := report.Vehicle{Path: e.At.File}
		res := rules.Result{Rule: "run-failed", Subject: e.Text, Level: rules.Error, Message: e.String(), At: e.At}
		list = append(list, gitlabOf(r, &v, res, seen))
	}
	return encodeJSON(w, list)
}

func gitlabOf(r *report.Report, v *report.Vehicle, res rules.Result, seen map[string]int) gitlabIssue {
	// Every entry needs a path: of a run that went wrong as a whole, the folder.
	file := cmp.Or(res.At.File, fileOf(v), ".")
	text := []string{res.Rule + ": " + report.Sentence(res.Message)} // the host does not show check_name
	if numbers := report.Numbers(res); numbers != "" {
		text = append(text, upperFirst(report.Sentence(numbers)))
	}
	if res.Fix != "" {
		text = append(text, "Fix: "+report.Sentence(res.Fix))
	}
	description := make([]safe.Line, len(text))
	for i := range text {
		description[i] = safe.Plain(text[i])
	}
	return gitlabIssue{
		Description: safe.Join(description, " "),
		Check:       res.Rule,
		Fingerprint: fingerprint(r, v, res, seen),
		Severity:    map[rules.Level]string{rules.Error: "critical", rules.Warning: "major", rules.Note: "info"}[res.Level],
		Location:    gitlabLocation{Path: repositoryPath(r, file), Lines: gitlabLines{max(1, res.At.Line)}},
	}
}
