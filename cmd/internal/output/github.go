package output

import (
	"cmp"
	"io"
	"slices"
	"strconv"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
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
	p := printer{w: safe.Stream(w, safe.Commands)}
	kinds := map[safe.Line][]safe.Line{}
	for _, e := range r.RunErrors() {
		kinds["error"] = append(kinds["error"], annotation("error", r, e.At, "Headroom could not run", e.String()))
	}
	for _, m := range r.Remarks {
		kind := annotationKind(m.Level)
		kinds[kind] = append(kinds[kind], annotation(kind, r, schema.Position{File: m.Path}, "Headroom", m.String()))
	}
	for i := range r.Vehicles {
		v := &r.Vehicles[i]
		if text := v.Count().DraftText(); text != "" {
			kinds["warning"] = append(kinds["warning"], annotation("warning", r, schema.Position{File: v.Path}, "Headroom", v.Name+": "+text))
		}
	}
	if text := vouching(r.Count()); text != "" {
		kinds["notice"] = append(kinds["notice"], annotation("notice", r, schema.Position{}, "Headroom", text))
	}
	findings := r.Findings()
	// Of several vehicles the first must not take all the room.
	slices.SortStableFunc(findings, func(a, b report.Finding) int { return cmp.Compare(urgency(a.Result), urgency(b.Result)) })
	for _, f := range findings {
		if f.Stands() {
			continue
		}
		kind := annotationKind(f.Level)
		kinds[kind] = append(kinds[kind], annotation(kind, r, f.At, f.Rule, annotationText(f)...))
	}
	for _, res := range r.Lost() {
		kind := annotationKind(res.Level)
		kinds[kind] = append(kinds[kind], annotation(kind, r, res.At, res.Rule, report.LostText(res, r.Since)))
	}
	for _, kind := range []safe.Line{"error", "warning", "notice"} {
		list := kinds[kind]
		if len(list) > annotationsShown {
			rest := len(list) - annotationsShown + 1
			list = append(list[:annotationsShown-1:annotationsShown-1], annotation(kind, r, schema.Position{}, "Headroom",
				plural(rest, string(kind))+" more; the job summary and the log list them all"))
		}
		for _, line := range list {
			p.print(line, "\n")
		}
	}
	return p.err
}

// annotationKind is a level as a workflow command.
func annotationKind(level rules.Level) safe.Line {
	switch level {
	case rules.Error:
		return "error"
	case rules.Warning:
		return "warning"
	}
	return "notice"
}

// annotationText is, line by line, the finding, its numbers, what to do, and what follows from it.
func annotationText(f report.Finding) []string {
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
	return text
}

// annotation renders one workflow command.
func annotation(kind safe.Line, r *report.Report, at schema.Position, title string, text ...string) safe.Line {
	var properties []safe.Property
	if at.File != "" {
		properties = append(properties, safe.Property{Name: "file", Value: repositoryPath(r, at.File)})
	}
	if at.Line > 0 {
		properties = append(properties, safe.Property{Name: "line", Value: strconv.Itoa(at.Line)})
		if at.Column > 0 {
			properties = append(properties, safe.Property{Name: "col", Value: strconv.Itoa(at.Column)})
		}
	}
	properties = append(properties, safe.Property{Name: "title", Value: title})
	var lines []safe.Line
	room := annotationLength
	for _, part := range text {
		line := safe.Plain(part)
		if n := lineWidth(line); n > room {
			lines = append(lines, safe.Linef("%.*s ...", room, line))
			break
		} else {
			room = max(0, room-n-1)
		}
		lines = append(lines, line)
	}
	return safe.Command(kind, properties, lines)
}
