package output

import (
	"fmt"
	"io"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// How much the first screen of the page shows; the rest is folded.
const (
	markdownFindings = 10
	markdownMoves    = 5
)

// markdownLimit keeps the page below what code hosts take as one comment
// (65 536 characters); what does not fit is said.
const markdownLimit = 60000

// DiffMarkdown writes a comparison as a comment on a pull request: what is new
// and the worst losses first, everything else folded.
func DiffMarkdown(w io.Writer, d *report.Difference, _ Options) error {
	var page strings.Builder
	page.WriteString(markdownHead(d))
	left := 0
	for _, p := range d.Pairs {
		if p.State == report.Same {
			continue
		}
		if text, ok := markdownWithin(markdownLimit-page.Len(), p, d); ok {
			page.WriteString(text)
		} else {
			left++
		}
	}
	if left > 0 {
		fmt.Fprintf(&page, "\n%s left out for lack of space; `headroom diff` shows all.\n", plural(left, "vehicle is", "vehicles are"))
	}
	fmt.Fprintf(&page, "\n<sub>%s</sub>\n", markdownSafe(plainText(report.Caution)))
	_, err := io.WriteString(w, page.String())
	return err
}

func markdownHead(d *report.Difference) string {
	var b strings.Builder
	counts := d.CountStates()
	verdict := "no new findings"
	if n := counts[report.New] + counts[report.Worse]; n > 0 {
		verdict = plural(n, "finding") + " new or worse"
	} else if d.Broken() {
		verdict = "a part of the run could not be done"
	}
	all := d.Count()
	if text := all.DraftText(); text != "" {
		verdict = text + "; " + verdict
	}
	fmt.Fprintf(&b, "### Headroom: %s\n\n", verdict)
	fmt.Fprintf(&b, "%s → %s", markdownSafe(d.Old), markdownSafe(d.New))
	var states []string
	for _, s := range stateOrder() {
		if n := counts[s]; n > 0 {
			states = append(states, fmt.Sprintf("%d %s", n, stateWord(s)))
		}
	}
	if len(states) > 0 {
		fmt.Fprintf(&b, " · findings: %s", strings.Join(states, ", "))
	}
	if text := vouching(all); text != "" {
		b.WriteString(" · checks: " + text)
	}
	same := 0
	for _, p := range d.Pairs {
		if p.State == report.Same {
			same++
		}
	}
	if same > 0 {
		fmt.Fprintf(&b, " · %s unchanged", plural(same, "vehicle"))
	}
	b.WriteString("\n")
	for _, e := range d.RunErrors() {
		fmt.Fprintf(&b, "\n> **could not be done:** %s\n", markdownSafe(e.String()))
	}
	b.WriteString(markdownRemarks(&d.Report))
	return b.String()
}

// markdownWithin writes a vehicle with as many rows in its folded parts as there
// is room for.
func markdownWithin(room int, p report.Pair, d *report.Difference) (string, bool) {
	for _, rows := range []int{400, 100, 25, 5} {
		if text := markdownPair(p, d, rows); len(text) <= room {
			return text, true
		}
	}
	return "", false
}

// markdownCell is text in a table or list, cut where it is so long that it would
// push everything else off the page.
func markdownCell(s string) string {
	const longest = 300
	if runes := []rune(s); len(runes) > longest {
		s = string(runes[:longest]) + " ..."
	}
	return markdownSafe(s)
}

// markdownMore says how many rows were left out.
func markdownMore(all, rows int) string {
	if all <= rows {
		return ""
	}
	return fmt.Sprintf("\n%d more; `headroom diff` shows them all.\n", all-rows)
}

func markdownPair(p report.Pair, d *report.Difference, rows int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n#### %s (%s)\n\n", markdownCell(p.Name), markdownCell(p.Path))
	if text := draftOf(p); text != "" {
		fmt.Fprintf(&b, "**%s**\n\n", text)
	}
	if p.State != report.Changed {
		fmt.Fprintf(&b, "%s\n\n", markdownCell(stateOf(p, d)))
	}
	if p.Comparison == nil {
		return b.String()
	}
	shown := markdownFindingsOf(&b, p)
	markdownMovesOf(&b, p, rows)
	markdownFolded(&b, p, shown, rows)
	return b.String()
}

// markdownFindingsOf writes the new and worse findings and returns how many
// of them.
func markdownFindingsOf(b *strings.Builder, p report.Pair) (shown int) {
	for _, state := range []report.State{report.New, report.Worse} {
		for _, f := range p.Findings {
			if f.State != state || shown == markdownFindings || follows(f, p.Findings) {
				continue
			}
			shown++
			fmt.Fprintf(b, "- **%s %s**: %s (`%s`, %s)", state, f.Level, markdownCell(f.Message), f.Rule, markdownCell(where(f.At)))
			if cause := causeText(f.Cause, 0, p.Comparison); cause != "" {
				fmt.Fprintf(b, "<br>cause: %s", markdownCell(cause))
			}
			if f.Fix != "" {
				fmt.Fprintf(b, "<br>fix: %s", markdownCell(f.Fix))
			}
			b.WriteString("\n")
		}
	}
	if shown > 0 {
		b.WriteString("\n")
	}
	return shown
}

// markdownMovesOf writes the table of headrooms: the worst losses, the others folded.
func markdownMovesOf(b *strings.Builder, p report.Pair, rows int) {
	if len(p.Moves) == 0 {
		return
	}
	head := "| headroom | was | is | check | cause |\n|---:|---:|---:|---|---|\n"
	b.WriteString(head)
	for i, m := range p.Moves[:min(rows, len(p.Moves))] {
		if i == markdownMoves {
			fmt.Fprintf(b, "\n<details><summary>%d more headrooms moved</summary>\n\n%s", len(p.Moves)-markdownMoves, head)
		}
		r := latest(m)
		mark := ""
		switch {
		case m.New.Verdict == rules.Failed && m.Old.Verdict != rules.Failed:
			mark = " ❌"
		case m.Old.Verdict == rules.Failed && m.New.Verdict.Passes():
			mark = " ✅"
		}
		fmt.Fprintf(b, "| %s | %s | %s%s | `%s` %s%s | %s |\n", percentOf(m), headroomOrVerdict(m.Old), headroomOrVerdict(m.New), mark, r.Rule, markdownCell(r.Subject),
			markdownMode(r.Mode), markdownCell(causeText(m.Cause, m.Factor, p.Comparison)))
	}
	b.WriteString(markdownMore(len(p.Moves), rows))
	if min(rows, len(p.Moves)) > markdownMoves {
		b.WriteString("\n</details>\n")
	}
	b.WriteString("\n")
}

func markdownMode(mode string) string {
	if mode == "" {
		return ""
	}
	return ", " + markdownCell(mode)
}

// markdownFolded writes what the first screen leaves out: ratings changed, the
// power path, and the other findings.
func markdownFolded(b *strings.Builder, p report.Pair, shown, rows int) {
	if len(p.Edits) > 0 {
		fmt.Fprintf(b, "<details><summary>%s</summary>\n\n| what | was | is | where |\n|---|---|---|---|\n", plural(len(p.Edits), "rating changed", "ratings changed"))
		for _, e := range p.Edits[:min(rows, len(p.Edits))] {
			at := e.NewAt
			if at.File == "" {
				at = e.OldAt
			}
			shared := ""
			if e.Shared {
				shared = " (shared)"
			}
			fmt.Fprintf(b, "| %s | %s | %s | %s%s |\n", markdownCell(e.Entity+" "+e.Field), markdownCell(e.Old), markdownCell(e.New), markdownCell(where(at)), shared)
		}
		b.WriteString(markdownMore(len(p.Edits), rows) + "\n</details>\n")
	}
	// A diagram of more lines than that is no picture, and is not drawn by all
	// code hosts.
	const lines = 200
	if diagram := mermaid(p); diagram != "" && strings.Count(diagram, "\n") <= lines && rows > markdownMoves {
		fmt.Fprintf(b, "<details><summary>power path</summary>\n\n```mermaid\n%s```\n\n</details>\n", diagram)
	}
	markdownRest(b, p, shown, rows)
}

func markdownRest(b *strings.Builder, p report.Pair, shown, rows int) {
	var rest []string
	for _, state := range stateOrder() {
		for _, f := range p.Findings {
			if f.State != state {
				continue
			}
			if (state == report.New || state == report.Worse) && shown > 0 && !follows(f, p.Findings) {
				shown-- // it is on the first screen
				continue
			}
			rest = append(rest, fmt.Sprintf("- %s %s: %s (`%s`, %s)\n", stateWord(state), f.Level, markdownCell(f.Message), f.Rule, markdownCell(where(f.At))))
		}
	}
	if len(rest) > 0 {
		fmt.Fprintf(b, "<details><summary>%s</summary>\n\n%s\n</details>\n", plural(len(rest), "other finding"), strings.Join(rest[:min(rows, len(rest))], "")+markdownMore(len(rest), rows))
	}
}

// mermaid draws the way of the traction current, changed parts and conductors
// marked; "" where nothing on it changed.
func mermaid(p report.Pair) string {
	edited := map[string]bool{}
	for _, e := range p.Edits {
		edited[e.Entity] = true
	}
	touched := false
	var b strings.Builder
	b.WriteString("flowchart LR\n")
	drawn := map[string]bool{}
	for _, path := range p.Paths {
		for i, hop := range path {
			if i == 0 {
				continue
			}
			from, label := path[i-1].Part, mermaidSafe(hop.Conductor)
			if edited[hop.Conductor] {
				label = "✎ " + label
			}
			line := fmt.Sprintf("  p_%s[\"%s\"] -- \"%s\" --> p_%s[\"%s\"]\n", from, mermaidSafe(from), label, hop.Part, mermaidSafe(hop.Part))
			if !drawn[line] {
				drawn[line] = true
				b.WriteString(line)
			}
			touched = touched || edited[hop.Conductor] || edited[hop.Part] || edited[from]
		}
	}
	if !touched {
		return ""
	}
	marked := map[string]bool{}
	for _, path := range p.Paths {
		for _, hop := range path {
			if edited[hop.Part] && !marked[hop.Part] {
				marked[hop.Part] = true
				fmt.Fprintf(&b, "  class p_%s edited\n", hop.Part)
			}
		}
	}
	b.WriteString("  classDef edited stroke-width:4px,stroke-dasharray:6 3\n")
	return b.String()
}
