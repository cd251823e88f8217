package output

import (
	"fmt"
	"io"
	"unicode/utf8"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// ratingsWidth is how wide the table of headrooms may be, in columns.
const ratingsWidth = 100

// RatingsShown is how many headrooms of a vehicle are shown unless all are asked for.
const RatingsShown = 25

// Ratings writes the table of every vehicle's headrooms, the tightest first:
// the one with the least margin over what its check requires. Limit is the
// number of rows of each vehicle, 0 for all.
func Ratings(w io.Writer, r *report.Report, limit int, o Options) error {
	p := newPrinter(w, o)
	paint := palette{on: o.Colour}
	for i := range r.Vehicles {
		v := &r.Vehicles[i]
		if i > 0 {
			p.print("\n")
		}
		p.print(paint.bold(where(schema.Position{File: v.Path})+": "+safe.Plain(v.Name)), "\n")
		if v.Err != nil {
			p.print("  could not be checked\n")
			continue
		}
		rated := report.Tightest(v.Results)
		shown := rated
		if limit > 0 && len(shown) > limit {
			shown = shown[:limit]
		}
		if len(shown) > 0 {
			ratingsTable(&p, shown, paint, o.Wide)
		}
		if more := len(rated) - len(shown); more > 0 {
			p.printf("  %d more, with more margin (show them with --all)\n", more)
		}
		p.printf("  %s\n", yesOrNo(v.Results))
		if text := v.Count().DraftText(); text != "" {
			p.print("  ", paint.wrap(safe.Warn, safe.Plain(text)), "\n")
		}
		if what, first := r.Hindrance(v); what != "" {
			p.print("  ", paint.wrap(safe.Red, safe.Plain(what+":")), "\n    ", where(first.At), ": ", safe.Plain(first.Message), "\n")
		}
	}
	return p.err
}

// yesOrNo counts what the table does not show.
func yesOrNo(results []rules.Result) string {
	var passed, failed, waived, open, vital, declared int
	for _, res := range results {
		if res.Verdict == rules.AsDeclared {
			declared++
		}
		switch {
		case res.Verdict == rules.CannotVouch:
			vital++
		case res.Verdict == rules.NotChecked:
			open++
		case report.HasHeadroom(res):
		case res.Verdict == rules.Failed:
			failed++
		case res.Verdict == rules.Waived:
			waived++
		default:
			passed++
		}
	}
	text := fmt.Sprintf("and %s without a headroom: %d passed, %d failed", plural(passed+failed+waived, "yes-or-no check"), passed, failed)
	if waived > 0 {
		text += fmt.Sprintf(", %d waived", waived)
	}
	text += fmt.Sprintf("; %d not checked", open)
	if vital > 0 {
		text += fmt.Sprintf(", %d that nobody can vouch for", vital)
	}
	if declared > 0 {
		text += fmt.Sprintf("; %d of all pass as declared", declared)
	}
	return text
}

// column is one column of the table.
type column struct {
	head  string
	right bool                      // numbers
	least int                       // the width to which the column may be cut; 0 if it may not
	cell  func(rules.Result) string // as it comes
}

func ratingsColumns() []column {
	return []column{
		{head: "margin", right: true, cell: margin},
		{head: "headroom", right: true, cell: func(r rules.Result) string { return report.Ratio(r.Headroom) }},
		{head: "required", right: true, cell: func(r rules.Result) string { return report.Requirement(r.Required) }},
		{head: "", cell: mark},
		{head: "rule", least: 12, cell: func(r rules.Result) string { return r.Rule }},
		{head: "subject", least: 10, cell: func(r rules.Result) string { return r.Subject }},
		{head: "demand", right: true, cell: func(r rules.Result) string { return report.Quantity(r.Demand) }},
		{head: "capability", right: true, cell: func(r rules.Result) string { return report.Quantity(r.Capability) }},
		{head: "mode", least: 7, cell: func(r rules.Result) string { return r.Mode }},
	}
}

// margin renders how far above or below the required headroom a result is, in
// whole percent rounded down.
func margin(res rules.Result) string {
	m := report.Margin(res)
	if m > 9.99 {
		return ">999 %"
	}
	return fmt.Sprintf("%+d %%", floorPercent(m))
}

func floorPercent(fraction float64) int {
	const hair = 1e-9
	percent := fraction*100 + hair
	whole := int(percent)
	if percent < float64(whole) {
		whole--
	}
	return whole
}

func mark(res rules.Result) string {
	switch res.Verdict {
	case rules.Failed:
		return "FAIL"
	case rules.Waived:
		return "waived"
	case rules.AsDeclared:
		return "as declared"
	}
	return "ok"
}

func ratingsTable(p *printer, rated []rules.Result, paint palette, wide bool) {
	columns := ratingsColumns()
	rows := make([][]safe.Line, len(rated))
	widths := make([]int, len(columns))
	for c, col := range columns {
		widths[c] = utf8.RuneCountInString(col.head)
	}
	for i, res := range rated {
		rows[i] = make([]safe.Line, len(columns))
		for c, col := range columns {
			rows[i][c] = safe.Plain(col.cell(res))
			widths[c] = max(widths[c], lineWidth(rows[i][c]))
		}
	}
	if !wide {
		fit(columns, widths)
	}
	heads := make([]safe.Line, len(columns))
	for c, col := range columns {
		heads[c] = safe.Plain(col.head)
	}
	p.print(paint.faint(tableRow(columns, widths, heads)), "\n")
	for i, row := range rows {
		line := tableRow(columns, widths, row)
		if rated[i].Verdict == rules.Failed {
			line = paint.wrap(safe.Red, line)
		}
		p.print(line, "\n")
	}
}

// fit narrows the elastic columns until the table fits: the mode first, then
// the subject, the rule last.
func fit(columns []column, widths []int) {
	over := 2*len(widths) - ratingsWidth
	for _, w := range widths {
		over += w
	}
	for c := len(columns) - 1; c >= 0 && over > 0; c-- {
		if room := widths[c] - columns[c].least; columns[c].least > 0 && room > 0 {
			cut := min(room, over)
			widths[c] -= cut
			over -= cut
		}
	}
}

// tableRow sets the cells of a row two blanks apart, each row beginning with two.
func tableRow(columns []column, widths []int, cells []safe.Line) safe.Line {
	var row, gap safe.Line // no blanks end a row
	for c, cell := range cells {
		pad := safe.Linef("%*s", widths[c]-min(widths[c], lineWidth(cell)), "")
		if lineWidth(cell) > widths[c] {
			cell = safe.Linef("%.*s…", widths[c]-1, cell)
		}
		gap += "  "
		if columns[c].right {
			gap += pad
		}
		if cell != "" {
			row, gap = row+gap+cell, ""
		}
		if !columns[c].right {
			gap += pad
		}
	}
	return row
}

// jsonRatings is the shape of the ratings as data; the results are those of
// the JSON report.
type jsonRatings struct {
	Format   string           `json:"format"` // always "headroom-ratings"
	Version  int              `json:"version"`
	Tool     jsonTool         `json:"tool"`
	Caution  string           `json:"caution"`
	Vehicles []jsonRatingsRow `json:"vehicles"`
	Errors   []string         `json:"errors"`
	Remarks  []jsonRemark     `json:"remarks"`
}

type jsonRatingsRow struct {
	Name    string        `json:"name"`
	Path    string        `json:"path"`
	Counts  report.Counts `json:"counts"`
	Ratings []jsonResult  `json:"ratings"` // the tightest first
}

// RatingsJSON writes all headrooms as data, the tightest of each vehicle first.
func RatingsJSON(w io.Writer, r *report.Report) error {
	out := jsonRatings{
		Format: "headroom-ratings", Version: JSONVersion, Tool: jsonTool{"Headroom", r.Version},
		Caution: plainText(report.Caution), Vehicles: []jsonRatingsRow{}, Errors: []string{}, Remarks: jsonRemarks(r),
	}
	for _, e := range r.RunErrors() {
		out.Errors = append(out.Errors, e.String())
	}
	for i := range r.Vehicles {
		v := &r.Vehicles[i]
		row := jsonRatingsRow{Name: v.Name, Path: v.Path, Counts: v.Count(), Ratings: []jsonResult{}}
		for _, res := range report.Tightest(v.Results) {
			row.Ratings = append(row.Ratings, jsonResultOf(res))
		}
		out.Vehicles = append(out.Vehicles, row)
	}
	return encodeJSON(w, out)
}
