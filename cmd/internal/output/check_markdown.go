package output

import (
	"cmp"
	"io"
	"slices"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
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
	var page safe.Builder[safe.Markdown]
	page.Add(checkHead(r))
	vehicles, left := checkVehicles(r, markdownLimit-page.Len())
	page.Add(vehicles...)
	if left > 0 {
		page.Addf("\n%s left out for lack of space, none with worse findings than those above; `headroom check` shows all.\n", plural(left, "vehicle is", "vehicles are"))
	}
	page.Addf("\n<sub>%s</sub>\n", safe.Mark(plainText(report.Caution)))
	return safe.Write(safe.Stream(w, safe.Text), page.Text())
}

// checkVehicles writes the vehicles with as many rows in their lists as there is
// room for in all of them. Where there is not enough the gravest have the room.
func checkVehicles(r *report.Report, room int) (texts []safe.Markdown, left int) {
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

func checkHead(r *report.Report) safe.Markdown {
	var b safe.Builder[safe.Markdown]
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
	b.Addf("### Headroom: %s\n\n", verdict)
	var parts []safe.Markdown
	for _, part := range []string{plural(c.Vehicles, "vehicle"), plural(c.Checks, "check"), passed(c), plural(c.Notes, "note")} {
		parts = append(parts, safe.Mark(part))
	}
	if c.Standing > 0 {
		parts = append(parts, safe.Markdownf("%s already in %s", plural(c.Standing, "finding"), markdownCell(r.Since)))
	}
	if c.Waived > 0 {
		parts = append(parts, safe.Markdownf("%d waived", c.Waived))
	}
	for _, part := range unmade(c) {
		parts = append(parts, safe.Mark(part))
	}
	b.Add(safe.Join(parts, " · "), "\n")
	errs := r.RunErrors()
	for _, e := range errs[:min(markdownErrors, len(errs))] {
		b.Addf("\n> **could not be done:** %s\n", markdownCell(e.String()))
	}
	if n := len(errs) - markdownErrors; n > 0 {
		b.Addf("\n> %d more could not be done; the log lists them all.\n", n)
	}
	b.Add(markdownRemarks(r))
	return b.Text()
}

// markdownRemarks lists what else is to be known of a run, the warnings first.
func markdownRemarks(r *report.Report) safe.Markdown {
	var b safe.Builder[safe.Markdown]
	remarks := slices.SortedStableFunc(slices.Values(r.Remarks), func(x, y report.Remark) int { return y.Level.Rank() - x.Level.Rank() })
	for _, m := range remarks[:min(markdownErrors, len(remarks))] {
		b.Addf("\n> **%s:** %s\n", m.Level, markdownCell(m.String()))
	}
	if n := len(remarks) - markdownErrors; n > 0 {
		b.Addf("\n> %d more remarks; the log lists them all.\n", n)
	}
	return b.Text()
}

func checkVehicle(v *report.Vehicle, since string, rows int) safe.Markdown {
	var b safe.Builder[safe.Markdown]
	b.Addf("\n#### %s (%s)\n\n", markdownCell(v.Name), markdownCell(v.Path))
	if v.Err != nil {
		b.Add("could not be checked\n")
		return b.Text()
	}
	if text := v.Count().DraftText(); text != "" {
		b.Addf("**%s**\n\n", text)
	}
	var open, more, notes, standing []safe.Markdown
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
		open = append(open, safe.Markdownf("- **%s**: %s (%s, %s)\n", res.Level, markdownCell(report.LostText(res, since)), markdownName(res.Rule), markdownName(whereText(res.At))))
	}
	b.Add(open...)
	if len(open) > 0 {
		b.Add("\n")
	}
	checkTightest(&b, v)
	checkFolded(&b, safe.HTMLf("%s", plural(len(more), "more error or warning", "more errors and warnings")), more, rows)
	checkFolded(&b, safe.HTMLf("%s", plural(len(notes), "note")), notes, rows)
	checkFolded(&b, safe.HTMLf("%s already in %s", plural(len(standing), "finding"), since), standing, rows)
	var waived, declared, unmade []safe.Markdown
	for _, res := range v.Results {
		switch res.Verdict {
		case rules.Waived:
			waived = append(waived, safe.Markdownf("- %s (%s): %s\n", markdownCell(res.Message), markdownName(res.Rule), markdownCell(accepted(res))))
		case rules.AsDeclared:
			declared = append(declared, safe.Markdownf("- %s %s: %s\n", markdownName(res.Rule), markdownCell(res.Subject), markdownCell(report.Believed(res))))
		}
	}
	fills := v.Fills()
	checks := 0
	for _, f := range fills {
		unmade = append(unmade, "- "+markdownCell(fillLine(f))+"\n")
		checks += f.Checks
	}
	title := safe.HTMLf("%s", plural(checks, "check not made", "checks not made"))
	if gain := report.Gain(fills); gain != "" {
		title += safe.HTMLf("; %s", gain)
	}
	checkFolded(&b, safe.HTMLf("%s", plural(len(waived), "waived finding")), waived, rows)
	checkFolded(&b, safe.HTMLf("%s", plural(len(declared), "check that passes as declared", "checks that pass as declared")), declared, rows)
	checkFolded(&b, title, unmade, rows)
	return b.Text()
}

// checkFinding is a finding as an entry of a list, with what follows from it.
func checkFinding(f report.Finding) safe.Markdown {
	var b safe.Builder[safe.Markdown]
	b.Addf("- **%s**: %s (%s, %s)", f.Level, markdownCell(f.Message), markdownName(f.Rule), markdownName(whereText(f.At)))
	if numbers := report.Numbers(f.Result); numbers != "" {
		b.Addf("<br>%s", markdownCell(numbers))
	}
	if f.Fix != "" {
		b.Addf("<br>fix: %s", markdownCell(f.Fix))
	}
	if n := len(f.Follow); n > 0 {
		const named = 3
		b.Addf("<br>%s: ", plural(n, "consequence"))
		for i, res := range f.Follow[:min(named, n)] {
			if i > 0 {
				b.Add("; ")
			}
			b.Addf("%s (%s)", markdownCell(res.Message), markdownName(res.Rule))
		}
		if n > named {
			b.Addf("; %d more", n-named)
		}
	}
	b.Add("\n")
	return b.Text()
}

func checkTightest(b *safe.Builder[safe.Markdown], v *report.Vehicle) {
	rated := report.Tightest(v.Results)
	if len(rated) == 0 {
		return
	}
	b.Add("| headroom | required | check | mode |\n|---:|---:|---|---|\n")
	for _, res := range rated[:min(report.TightestShown, len(rated))] {
		b.Addf("| %s | %s | %s %s | %s |\n", report.Ratio(res.Headroom), report.Requirement(res.Required), markdownName(res.Rule), markdownCell(res.Subject), markdownCell(res.Mode))
	}
	b.Add("\n")
}

// checkFolded writes a list that a reader unfolds.
func checkFolded(b *safe.Builder[safe.Markdown], title safe.HTML, list []safe.Markdown, rows int) {
	if len(list) == 0 {
		return
	}
	var more safe.Markdown
	if len(list) > rows {
		more = safe.Markdownf("\n%d more; `headroom check -v` shows them all.\n", len(list)-rows)
	}
	b.Add(safe.Folded(title, "\n"+safe.Join(list[:min(rows, len(list))], "")+more))
}

func accepted(res rules.Result) string {
	if res.Waiver == nil {
		return ""
	}
	return report.Accepted(res.Waiver) + ": " + res.Waiver.Reason
}
