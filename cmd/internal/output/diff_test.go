package output

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

const hostile = "a|b `c` <img src=x> @team #1 [l](http://x) \n| d | </details> $\\"

// hostileDifference has names that would break a page, and many rows.
func hostileDifference(rows int) *report.Difference {
	at := schema.Position{File: "fleet/" + hostile, Line: 3, Column: 1}
	v := &report.Vehicle{Name: hostile, Path: "fleet/" + hostile}
	c := &report.Comparison{Paths: [][]report.Hop{{{Part: "pack"}, {Part: "main", Conductor: "w1"}}}}
	for i := range rows {
		edit := report.Edit{Path: fmt.Sprintf("loads.l%d.notes", i), Entity: fmt.Sprintf("l%d", i), Field: "notes", Old: hostile, New: strings.Repeat(hostile, 10), OldAt: at, NewAt: at}
		if i == 0 {
			edit.Entity = "main"
		}
		c.Edits = append(c.Edits, edit)
		cause := report.Cause{Shares: []report.Share{{Change: report.Change{Edits: []report.Edit{edit}}, Factor: 0.8}}}
		old := rules.Result{Rule: "load-drop-high", Subject: hostile + fmt.Sprint(i), Mode: hostile, Headroom: 1.2, Required: 1, Verdict: rules.Passed, Level: rules.Error, At: at}
		now := old
		now.Headroom, now.Verdict, now.Message, now.Fix = 0.96, rules.Failed, hostile, hostile
		c.Moves = append(c.Moves, report.Move{Old: old, New: now, Factor: 0.8, Cause: cause})
		c.Findings = append(c.Findings, report.Compared{Result: now, State: report.New, Cause: cause})
		v.Results = append(v.Results, now)
	}
	return &report.Difference{Old: hostile, New: "the working tree", Pairs: []report.Pair{
		{State: report.Changed, Name: hostile, Path: v.Path, Vehicle: v, Comparison: c},
		{State: report.Gone, Name: hostile, Path: hostile},
	}}
}

var escaped = regexp.MustCompile(`\\.`)

// TestDiffMarkdownHoldsTogether checks that names neither break tables, nor
// bring markup, mentions and links in, and that the page keeps its size.
func TestDiffMarkdownHoldsTogether(t *testing.T) {
	for _, rows := range []int{1, 5, 12, 150, 5000} {
		t.Run(fmt.Sprint(rows), func(t *testing.T) {
			var out strings.Builder
			if err := DiffMarkdown(&out, hostileDifference(rows), Options{}); err != nil {
				t.Fatal(err)
			}
			page := out.String()
			// GitHub takes 65 536 characters as a comment, and 1 MiB as a job summary.
			if len(page) > 65536 {
				t.Errorf("the page has %d bytes", len(page))
			}
			if rows > 400 && !regexp.MustCompile(`\n\d+ more; .headroom diff. shows them all\.\n`).MatchString(page) {
				t.Error("the page does not say that rows were left out")
			}
			if !strings.Contains(page, "#### a\\|b") {
				t.Error("the vehicle is not on the page")
			}
			holdsTogether(t, page)
		})
	}
}

// holdsTogether checks that what is folded ends, that tables keep their columns,
// and that no name brought markup, mentions or links in.
func holdsTogether(t *testing.T, page string) {
	t.Helper()
	if open, closed := strings.Count(page, "<details>"), strings.Count(page, "</details>"); open != closed {
		t.Errorf("%d folded parts begin, %d end", open, closed)
	}
	columns := 0
	for line := range strings.SplitSeq(page, "\n") {
		bare := escaped.ReplaceAllString(line, "")
		bars := strings.Count(bare, "|")
		switch {
		case !strings.HasPrefix(line, "|"):
			columns = 0
		case columns == 0:
			columns = bars
		case bars != columns:
			t.Errorf("a row has %d bars, the head of the table %d: %s", bars, columns, line)
		}
		if strings.Contains(line, "<img") || strings.Contains(bare, "@team") || strings.Contains(bare, "http:") || strings.Contains(bare, "[") && !strings.Contains(line, "<summary>") && !strings.Contains(line, "-- \"") && !strings.Contains(line, "p_") {
			t.Errorf("markup came through: %s", line)
		}
	}
}

// A comparison without a vehicle has nothing to put between brackets.
func TestDiffSummaryOfNothing(t *testing.T) {
	var out strings.Builder
	if err := DiffSummary(&out, &report.Difference{Old: "main", New: "the working tree"}); err != nil {
		t.Fatal(err)
	}
	want := "main to the working tree: 0 vehicles; 0 edits, 0 headrooms moved; findings: 0 new\n"
	if out.String() != want {
		t.Errorf("the summary is %q, want %q", out.String(), want)
	}
}
