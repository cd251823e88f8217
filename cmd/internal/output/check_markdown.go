package output

import (
	"fmt"
	"io"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// How many of the tightest headrooms the page shows, and how many findings of
// a vehicle before the others are folded.
const (
	markdownTightest = 5
	markdownOpen     = 10
)

// Markdown writes a check as the summary of a job: the verdict, the tightest
// headrooms, errors and warnings of each vehicle, everything else folded.
func Markdown(w io.Writer, r *report.Report, _ Options) error {
	var page strings.Builder
	page.WriteString(checkHead(r))
	left := 0
	for i := range r.Vehicles {
		text := ""
		for _, rows := range []int{400, 100, 25, 5} {
			if text = checkVehicle(&r.Vehicles[i], rows); page.Len()+len(text) <= markdownLimit {
				break
			}
		}
		if page.Len()+len(text) > markdownLimit {
			left++
			continue
		}
		page.WriteString(text)
	}
	if left > 0 {
		fmt.Fprintf(&page, "\n%s not shown here for want of room; `headroom check` shows all.\n", plural(left, "vehicle is", "vehicles are"))
	}
	fmt.Fprintf(&page, "\n<sub>%s</sub>\n", markdownSafe(plainText(report.Caution)))
	_, err := io.WriteString(w, page.String())
	return err
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
	fmt.Fprintf(&b, "### Headroom: %s\n\n", verdict)
	parts := []string{plural(c.Vehicles, "vehicle"), plural(c.Checks, "check"), fmt.Sprintf("%d passed", c.Passes), plural(c.Notes, "note")}
	if c.Standing > 0 {
		parts = append(parts, fmt.Sprintf("%d findings standing since %s", c.Standing, markdownCell(r.Since)))
	}
	if c.Waived > 0 {
		parts = append(parts, fmt.Sprintf("%d waived", c.Waived))
	}
	if c.NotChecked > 0 {
		parts = append(parts, fmt.Sprintf("%d not checked", c.NotChecked))
	}
	b.WriteString(strings.Join(parts, " · ") + "\n")
	for _, e := range r.RunErrors() {
		fmt.Fprintf(&b, "\n> **could not be done:** %s\n", markdownCell(e.String()))
	}
	return b.String()
}

func checkVehicle(v *report.Vehicle, rows int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n#### %s (%s)\n\n", markdownCell(v.Name), markdownCell(v.Path))
	if v.Err != nil {
		b.WriteString("could not be checked\n")
		return b.String()
	}
	var open, folded []string
	for _, f := range v.Findings() {
		line := checkFinding(f)
		if f.Level != rules.Note && !f.Stands() && len(open) < min(markdownOpen, rows) {
			open = append(open, line)
		} else {
			folded = append(folded, line)
		}
	}
	b.WriteString(strings.Join(open, ""))
	if len(open) > 0 {
		b.WriteString("\n")
	}
	checkTightest(&b, v)
	checkFolded(&b, "other finding", folded, rows)
	var waived, unmade []string
	for _, res := range v.Results {
		switch res.Verdict {
		case rules.Waived:
			waived = append(waived, fmt.Sprintf("- %s (`%s`): %s\n", markdownCell(res.Message), res.Rule, markdownCell(accepted(res))))
		case rules.NotChecked:
			unmade = append(unmade, fmt.Sprintf("- `%s` %s: needs %s\n", res.Rule, markdownCell(res.Subject), markdownCell(needs(res))))
		}
	}
	checkFolded(&b, "waived finding", waived, rows)
	checkFolded(&b, "check not made", unmade, rows, "checks not made")
	return b.String()
}

// checkFinding is a finding as an entry of a list, with what follows from it.
func checkFinding(f report.Finding) string {
	var b strings.Builder
	fmt.Fprintf(&b, "- **%s**: %s (`%s`, %s)", f.Level, markdownCell(f.Message), f.Rule, markdownCell(where(f.At)))
	if f.Stands() {
		b.WriteString(", standing")
	}
	if numbers := report.Comparison(f.Result); numbers != "" {
		fmt.Fprintf(&b, "<br>%s", markdownCell(numbers))
	}
	if f.Fix != "" {
		fmt.Fprintf(&b, "<br>fix: %s", markdownCell(f.Fix))
	}
	if n := len(f.Follow); n > 0 {
		const named = 3
		fmt.Fprintf(&b, "<br>with it: ")
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
	rated := Tightest(v.Results)
	if len(rated) == 0 {
		return
	}
	b.WriteString("| headroom | required | check | mode |\n|---:|---:|---|---|\n")
	for _, res := range rated[:min(markdownTightest, len(rated))] {
		fmt.Fprintf(b, "| %s | %s | `%s` %s | %s |\n", report.Ratio(res.Headroom), report.Requirement(res.Required), res.Rule, markdownCell(res.Subject), markdownCell(res.Mode))
	}
	b.WriteString("\n")
}

// checkFolded writes a list that a reader unfolds.
func checkFolded(b *strings.Builder, noun string, list []string, rows int, many ...string) {
	if len(list) == 0 {
		return
	}
	more := ""
	if len(list) > rows {
		more = fmt.Sprintf("\n%d more; `headroom check -v` shows them all.\n", len(list)-rows)
	}
	fmt.Fprintf(b, "<details><summary>%s</summary>\n\n%s%s\n</details>\n", plural(len(list), noun, many...), strings.Join(list[:min(rows, len(list))], ""), more)
}

func accepted(res rules.Result) string {
	if res.Waiver == nil {
		return ""
	}
	return report.Accepted(res.Waiver) + ": " + res.Waiver.Reason
}

func needs(res rules.Result) string {
	if res.Missing != "" {
		return res.Missing
	}
	return res.Message
}
