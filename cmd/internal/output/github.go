package output

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// What a runner shows of the workflow commands of one step (documented limits
// of GitHub Actions): ten of each kind, each cut at 4 096 characters.
const (
	annotationsShown = 10
	annotationLength = 4000
)

// GitHub writes workflow commands, which become annotations on the lines of a
// change, the gravest findings first. Findings that an older revision has too get
// none. What is more than a runner shows is counted in the last one of its kind.
func GitHub(w io.Writer, r *report.Report, _ Options) error {
	p := printer{w: w}
	kinds := map[string][]string{}
	for _, e := range r.RunErrors() {
		kinds["error"] = append(kinds["error"], annotation("error", r, e.At.File, 0, 0, "Headroom could not run", e.String()))
	}
	for _, m := range r.Remarks {
		kind := annotationKind(m.Level)
		kinds[kind] = append(kinds[kind], annotation(kind, r, m.Path, 0, 0, "Headroom", report.Plain(m.String())))
	}
	for i := range r.Vehicles {
		v := &r.Vehicles[i]
		if text := v.Count().DraftText(); text != "" {
			kinds["warning"] = append(kinds["warning"], annotation("warning", r, v.Path, 0, 0, "Headroom", report.Plain(v.Name+": "+text)))
		}
	}
	if text := vouching(r.Count()); text != "" {
		kinds["notice"] = append(kinds["notice"], annotation("notice", r, "", 0, 0, "Headroom", text))
	}
	findings := r.Findings()
	// Of several vehicles the first must not take all the room.
	slices.SortStableFunc(findings, func(a, b report.Finding) int { return cmp.Compare(urgency(a.Result), urgency(b.Result)) })
	for _, f := range findings {
		if f.Stands() {
			continue
		}
		kind := annotationKind(f.Level)
		kinds[kind] = append(kinds[kind], annotation(kind, r, f.At.File, f.At.Line, f.At.Column, f.Rule, annotationText(f)))
	}
	for _, res := range r.Lost() {
		kind := annotationKind(res.Level)
		kinds[kind] = append(kinds[kind], annotation(kind, r, res.At.File, res.At.Line, res.At.Column, res.Rule, report.Plain(report.LostText(res, r.Since))))
	}
	for _, kind := range []string{"error", "warning", "notice"} {
		list := kinds[kind]
		if len(list) > annotationsShown {
			rest := len(list) - annotationsShown + 1
			list = append(list[:annotationsShown-1:annotationsShown-1], annotation(kind, r, "", 0, 0, "Headroom",
				fmt.Sprintf("%s more; the job summary and the log list them all", plural(rest, kind))))
		}
		for _, line := range list {
			p.print(line, "\n")
		}
	}
	return p.err
}

// annotationKind is a level as a workflow command.
func annotationKind(level rules.Level) string {
	if level == rules.Note {
		return "notice"
	}
	return string(level)
}

// annotationText is the finding, its numbers, what to do, and what follows from it.
func annotationText(f report.Finding) string {
	text := []string{f.Message}
	if numbers := report.Numbers(f.Result); numbers != "" {
		text = append(text, numbers)
	}
	if f.Fix != "" {
		text = append(text, "fix: "+f.Fix)
	}
	for _, res := range f.Follow {
		text = append(text, "consequence: "+res.Message+" ["+res.Rule+"]")
	}
	for i := range text {
		text[i] = report.Plain(text[i])
	}
	return strings.Join(text, "\n")
}

// annotation renders one workflow command. Its text and properties are escaped
// as the runner undoes it: text of a specification can neither end the command
// nor begin another.
func annotation(kind string, r *report.Report, file string, line, column int, title, text string) string {
	var properties []string
	if file != "" {
		properties = append(properties, "file="+escapeProperty(repositoryPath(r, file)))
	}
	if line > 0 {
		properties = append(properties, fmt.Sprintf("line=%d", line))
		if column > 0 {
			properties = append(properties, fmt.Sprintf("col=%d", column))
		}
	}
	properties = append(properties, "title="+escapeProperty(title))
	if runes := []rune(text); len(runes) > annotationLength {
		text = string(runes[:annotationLength]) + " ..."
	}
	return "::" + kind + " " + strings.Join(properties, ",") + "::" + escapeData(text)
}

func escapeData(s string) string {
	return strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A").Replace(s)
}

func escapeProperty(s string) string {
	return strings.NewReplacer("%", "%25", "\r", "%0D", "\n", "%0A", ":", "%3A", ",", "%2C").Replace(report.Plain(s))
}
