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

// How many findings of a
// vehicle before the others are folded, and how much of what went wrong.
const (
	markdownOpen   = 10
	markdownErrors = 20
)

// Markdown writes a check as the summary of a job: the verdict, the tightest
// headrooms, errors and warnings of each vehicle, everything else folded.
func Markdown(w io.Writer, r *report.Report, _ Options) error {
	var page strings.Builder
	page.WriteString(checkHead(r))
	vehicles, left := checkVehicles(r, markdownLimit-page.Len())
	page.WriteString(strings.Join(vehicles, ""))
	if left > 0 {
		fmt.Fprintf(&page, "\n%s left out for lack of space, none with worse findings than those above; `headroom check` shows all.\n", plural(left, "vehicle is", "vehicles are"))
	}
	fmt.Fprintf(&page, "\n<sub>%s</sub>\n", markdownSafe(plainText(report.Caution)))
	_, err := io.WriteString(w, page.String())
	return err
}

// checkVehicles writes the vehicles with as many rows in their lists as there is
// room for in all of them. Where there is not enough the gravest have the room.
func checkVehicles(r *report.Report, room int) (texts []string, left int) {
	for _, rows := range []int{400, 100, 25, 5} {
		texts = texts[:0]
		size := 0
		for i := range r.Vehicles {
			texts = append(texts, checkVehicle(&r.Vehicles[i], r.Since, rows))
			size += len(texts[i])
		}
		if size <= room {
			return texts, 0
		}
	}
	order := make([]int, len(texts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(gravity(&r.Vehicles[b]), gravity(&r.Vehicles[a]))
	})
	full := false
	for _, i := range order {
		if full = full || len(texts[i]) > room; full {
			texts[i] = ""
			left++
		}
		room -= len(texts[i])
	}
	return texts, left
}

// gravity ranks vehicles by the gravest of what is new in them.
func gravity(v *report.Vehicle) int {
	if v.Err != nil {
		return rules.Error.Rank() + 1
	}
	gravest := 0
	for _, f := range v.Findings() {
		if !f.Stands() {
			gravest = max(gravest, f.Level.Rank())
		}
	}
	return gravest
}

func checkHead(r *report.Report) string {
	var b strings.Builder
	c := r.Count()
	verdict := "no errors and no warnings"
	switch {
	case r.Broken():
		verdict = "a part of the run could not be done"
	case c.Errors+c.Warnings > 0:
		verdict = plural(c.Errors, "error") + ", " + plural(c.Warnings, "warning")
	}
	if text := c.DraftText(); text != "" {
		verdict = text + "; " + verdict
	}
	fmt.Fprintf(&b, "### Headroom: %s\n\n", verdict)
	parts := []string{plural(c.Vehicles, "vehicle"), plural(c.Checks, "check"), passed(c), plural(c.Notes, "note")}
	if c.Standing > 0 {
		parts = append(parts, plural(c.Standing, "finding")+" already in "+markdownCell(r.Since))
	}
	if c.Waived > 0 {
		parts = append(parts, fmt.Sprintf("%d waived", c.Waived))
	}
	parts = append(parts, unmade(c)...)
	b.WriteString(strings.Join(parts, " · ") + "\n")
	errs := r.RunErrors()
	for _, e := range errs[:min(markdownErrors, len(errs))] {
		fmt.Fprintf(&b, "\n> **could not be done:** %s\n", markdownCell(e.String()))
	}
	if n := len(errs) - markdownErrors; n > 0 {
		fmt.Fprintf(&b, "\n> %d more could not be done; the log lists them all.\n", n)
	}
	b.WriteString(markdownRemarks(r))
	return b.String()
}

// markdownRemarks lists what else is to be known of a run, the warnings first.
func markdownRemarks(r *report.Report) string {
	var b strings.Builder
	remarks := slices.SortedStableFunc(slices.Values(r.Remarks), func(x, y report.Remark) int { return y.Level.Rank() - x.Level.Rank() })
	for _, m := range remarks[:min(markdownErrors, len(remarks))] {
		fmt.Fprintf(&b, "\n> **%s:** %s\n", m.Level, markdownCell(m.String()))
	}
	if n := len(remarks) - markdownErrors; n > 0 {
		fmt.Fprintf(&b, "\n> %d more remarks; the log lists them all.\n", n)
	}
	return b.String()
}

func checkVehicle(v *report.Vehicle, since string, rows int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n#### %s (%s)\n\n", markdownCell(v.Name), markdownCell(v.Path))
	if v.Err != nil {
		b.WriteString("could not be checked\n")
		return b.String()
	}
	if text := v.Count().DraftText(); text != "" {
		fmt.Fprintf(&b, "**%s**\n\n", text)
	}
	var open, more, notes, standing []string
	for _, f := range v.Findings() {
		list := &open
		switch {
		case f.Stands():
			list = &standing
		case f.Level == rules.Note:
			list = &notes
		case len(open) == min(markdownOpen, rows):
			list = &more
		}
		*list = append(*list, checkFinding(f))
	}
	for _, res := range v.Lost() {
		open = append(open, fmt.Sprintf("- **%s**: %s (`%s`, %s)\n", res.Level, markdownCell(report.LostText(res, since)), res.Rule, markdownCell(where(res.At))))
	}
	b.WriteString(strings.Join(open, ""))
	if len(open) > 0 {
		b.WriteString("\n")
	}
	checkTightest(&b, v)
	checkFolded(&b, plural(len(more), "more error or warning", "more errors and warnings"), more, rows)
	checkFolded(&b, plural(len(notes), "note"), notes, rows)
	checkFolded(&b, plural(len(standing), "finding")+" already in "+markdownCell(since), standing, rows)
	var waived, declared, unmade []string
	for _, res := range v.Results {
		switch res.Verdict {
		case rules.Waived:
			waived = append(waived, fmt.Sprintf("- %s (`%s`): %s\n", markdownCell(res.Message), res.Rule, markdownCell(accepted(res))))
		case rules.AsDeclared:
			declared = append(declared, fmt.Sprintf("- `%s` %s: %s\n", res.Rule, markdownCell(res.Subject), markdownCell(report.Believed(res))))
		}
	}
	fills := v.Fills()
	checks := 0
	for _, f := range fills {
		unmade = append(unmade, "- "+markdownCell(fillLine(f))+"\n")
		checks += f.Checks
	}
	title := plural(checks, "check not made", "checks not made")
	if gain := report.Gain(fills); gain != "" {
		title += "; " + gain
	}
	checkFolded(&b, plural(len(waived), "waived finding"), waived, rows)
	checkFolded(&b, plural(len(declared), "check that passes as declared", "checks that pass as declared"), declared, rows)
	checkFolded(&b, title, unmade, rows)
	return b.String()
}

// checkFinding is a finding as an entry of a list, with what follows from it.
func checkFinding(f report.Finding) string {
	var b strings.Builder
	fmt.Fprintf(&b, "- **%s**: %s (`%s`, %s)", f.Level, markdownCell(f.Message), f.Rule, markdownCell(where(f.At)))
	if numbers := report.Numbers(f.Result); numbers != "" {
		fmt.Fprintf(&b, "<br>%s", markdownCell(numbers))
	}
	if f.Fix != "" {
		fmt.Fprintf(&b, "<br>fix: %s", markdownCell(f.Fix))
	}
	if n := len(f.Follow); n > 0 {
		const named = 3
		fmt.Fprintf(&b, "<br>%s: ", plural(n, "consequence"))
		for i, res := range f.Follow[:min(named, n)] {
			if i > 0 {
				b.WriteString("; ")
			}
			fmt.Fprintf(&b, "%s (`%s`)", markdownCell(res.Message), res.Rule)
		}
		if n > named {
			fmt.Fprintf(&b, "; %d more", n-named)
		}
	}
	b.WriteString("\n")
	return b.String()
}

func checkTightest(b *strings.Builder, v *report.Vehicle) {
	rated := report.Tightest(v.Results)
	if len(rated) == 0 {
		return
	}
	b.WriteString("| headroom | required | check | mode |\n|---:|---:|---|---|\n")
	for _, res := range rated[:min(report.TightestShown, len(rated))] {
		fmt.Fprintf(b, "| %s | %s | `%s` %s | %s |\n", report.Ratio(res.Headroom), report.Requirement(res.Required), res.Rule, markdownCell(res.Subject), markdownCell(res.Mode))
	}
	b.WriteString("\n")
}

// checkFolded writes a list that a reader unfolds.
func checkFolded(b *strings.Builder, title string, list []string, rows int) {
	if len(list) == 0 {
		return
	}
	more := ""
	if len(list) > rows {
		more = fmt.Sprintf("\n%d more; `headroom check -v` shows them all.\n", len(list)-rows)
	}
	fmt.Fprintf(b, "<details><summary>%s</summary>\n\n%s%s\n</details>\n", title, strings.Join(list[:min(rows, len(list))], ""), more)
}

func accepted(res rules.Result) string {
	if res.Waiver == nil {
		return ""
	}
	return report.Accepted(res.Waiver) + ": " + res.Waiver.Reason
}
