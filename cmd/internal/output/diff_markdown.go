package output

import (
	"fmt"
	"io"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
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
	var page safe.Builder[safe.Markdown]
	page.Add(markdownHead(d))
	left := 0
	for _, p := range d.Pairs {
		if p.State == report.Same {
			continue
		}
		if text, ok := markdownWithin(markdownLimit-page.Len(), p, d); ok {
			page.Add(text)
		} else {
			left++
		}
	}
	if left > 0 {
		page.Addf("\n%s left out for lack of space; `headroom diff` shows all.\n", plural(left, "vehicle is", "vehicles are"))
	}
	page.Addf("\n<sub>%s</sub>\n", safe.Mark(plainText(report.Caution)))
	return safe.Write(safe.Stream(w, safe.Text), page.Text())
}

func markdownHead(d *report.Difference) safe.Markdown {
	var b safe.Builder[safe.Markdown]
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
	b.Addf("### Headroom: %s\n\n", verdict)
	b.Addf("<b>%s → %s</b>", d.Old, d.New) // a name must not begin the line
	var states []string
	for _, s := range stateOrder() {
		if n := counts[s]; n > 0 {
			states = append(states, fmt.Sprintf("%d %s", n, stateWord(s)))
		}
	}
	if len(states) > 0 {
		b.Addf(" · findings: %s", strings.Join(states, ", "))
	}
	if text := vouching(all); text != "" {
		b.Addf(" · checks: %s", text)
	}
	same := 0
	for _, p := range d.Pairs {
		if p.State == report.Same {
			same++
		}
	}
	if same > 0 {
		b.Addf(" · %s unchanged", plural(same, "vehicle"))
	}
	b.Add("\n")
	for _, e := range d.RunErrors() {
		b.Addf("\n> **could not be done:** %s\n", safe.Mark(e.String()))
	}
	b.Add(markdownRemarks(&d.Report))
	return b.Text()
}

// markdownWithin writes a vehicle with as many rows in its folded parts as there
// is room for.
func markdownWithin(room int, p report.Pair, d *report.Difference) (safe.Markdown, bool) {
	for _, rows := range []int{400, 100, 25, 5} {
		if text := markdownPair(p, d, rows); len(text) <= room {
			return text, true
		}
	}
	return "", false
}

// cellLength is how many characters of a text are in a table or list, lest it push
// everything else off the page.
const cellLength = 300

// markdownCell is text in a table or list.
func markdownCell(s string) safe.Markdown {
	if runes := []rune(s); len(runes) > cellLength {
		s = string(runes[:cellLength]) + " ..."
	}
	return safe.Mark(s)
}

// markdownName is a name in a table or list, of a rule or a place in a file.
func markdownName(s string) safe.Markdown {
	if len(s) > cellLength {
		return markdownCell(s)
	}
	return safe.Code(s)
}

// markdownMore says how many rows were left out.
func markdownMore(all, rows int) safe.Markdown {
	if all <= rows {
		return ""
	}
	return safe.Markdownf("\n%d more; `headroom diff` shows them all.\n", all-rows)
}

func markdownPair(p report.Pair, d *report.Difference, rows int) safe.Markdown {
	var b safe.Builder[safe.Markdown]
	b.Addf("\n#### %s (%s)\n\n", markdownCell(p.Name), markdownCell(p.Path))
	if text := draftOf(p); text != "" {
		b.Addf("**%s**\n\n", text)
	}
	if p.State != report.Changed {
		b.Addf("%s\n\n", markdownCell(stateOf(p, d)))
	}
	if p.Comparison == nil {
		return b.Text()
	}
	shown := markdownFindingsOf(&b, p)
	markdownMovesOf(&b, p, rows)
	markdownFolded(&b, p, shown, rows)
	return b.Text()
}

// markdownFindingsOf writes the new and worse findings and returns how many
// of them.
func markdownFindingsOf(b *safe.Builder[safe.Markdown], p report.Pair) (shown int) {
	for _, state := range []report.State{report.New, report.Worse} {
		for _, f := range p.Findings {
			if f.State != state || shown == markdownFindings || follows(f, p.Findings) {
				continue
			}
			shown++
			b.Addf("- **%s %s**: %s (%s, %s)", state, f.Level, markdownCell(f.Message), markdownName(f.Rule), markdownName(whereText(f.At)))
			if cause := causeText(f.Cause, 0, p.Comparison); cause != "" {
				b.Addf("<br>cause: %s", markdownCell(cause))
			}
			if f.Fix != "" {
				b.Addf("<br>fix: %s", markdownCell(f.Fix))
			}
			b.Add("\n")
		}
	}
	if shown > 0 {
		b.Add("\n")
	}
	return shown
}

// markdownMovesOf writes the table of headrooms: the worst losses, the others folded.
func markdownMovesOf(b *safe.Builder[safe.Markdown], p report.Pair, rows int) {
	if len(p.Moves) == 0 {
		return
	}
	const head safe.Markdown = "| headroom | was | is | check | cause |\n|---:|---:|---:|---|---|\n"
	b.Add(head)
	for i, m := range p.Moves[:min(rows, len(p.Moves))] {
		if i == markdownMoves {
			b.Addf("\n<details><summary>%d more headrooms moved</summary>\n\n%s", len(p.Moves)-markdownMoves, head)
		}
		r := latest(m)
		mark := ""
		switch {
		case m.New.Verdict == rules.Failed && m.Old.Verdict != rules.Failed:
			mark = " ❌"
		case m.Old.Verdict == rules.Failed && m.New.Verdict.Passes():
			mark = " ✅"
		}
		b.Addf("| %s | %s | %s%s | %s %s%s | %s |\n", percentOf(m), headroomOrVerdict(m.Old), headroomOrVerdict(m.New), mark, markdownName(r.Rule), markdownCell(r.Subject),
			markdownMode(r.Mode), markdownCell(causeText(m.Cause, m.Factor, p.Comparison)))
	}
	b.Add(markdownMore(len(p.Moves), rows))
	if min(rows, len(p.Moves)) > markdownMoves {
		b.Add("\n</details>\n")
	}
	b.Add("\n")
}

func markdownMode(mode string) safe.Markdown {
	if mode == "" {
		return ""
	}
	return ", " + markdownCell(mode)
}

// markdownFolded writes what the first screen leaves out: ratings changed, the
// power path, and the other findings.
func markdownFolded(b *safe.Builder[safe.Markdown], p report.Pair, shown, rows int) {
	if len(p.Edits) > 0 {
		b.Addf("<details><summary>%s</summary>\n\n| what | was | is | where |\n|---|---|---|---|\n", plural(len(p.Edits), "rating changed", "ratings changed"))
		for _, e := range p.Edits[:min(rows, len(p.Edits))] {
			at := e.NewAt
			if at.File == "" {
				at = e.OldAt
			}
			shared := ""
			if e.Shared {
				shared = " (shared)"
			}
			b.Addf("| %s | %s | %s | %s%s |\n", markdownCell(e.Entity+" "+e.Field), markdownCell(e.Old), markdownCell(e.New), markdownName(whereText(at)), shared)
		}
		b.Add(markdownMore(len(p.Edits), rows) + "\n</details>\n")
	}
	// A diagram of more lines than that is no picture, and is not drawn by all
	// code hosts.
	const lines = 200
	if diagram := mermaid(p); diagram != "" && strings.Count(string(diagram), "\n") <= lines && rows > markdownMoves {
		b.Addf("<details><summary>power path</summary>\n\n```mermaid\n%s```\n\n</details>\n", diagram)
	}
	markdownRest(b, p, shown, rows)
}

func markdownRest(b *safe.Builder[safe.Markdown], p report.Pair, shown, rows int) {
	var rest []safe.Markdown
	for _, state := range stateOrder() {
		for _, f := range p.Findings {
			if f.State != state {
				continue
			}
			if (state == report.New || state == report.Worse) && shown > 0 && !follows(f, p.Findings) {
				shown-- // it is on the first screen
				continue
			}
			rest = append(rest, safe.Markdownf("- %s %s: %s (%s, %s)\n", stateWord(state), f.Level, markdownCell(f.Message), markdownName(f.Rule), markdownName(whereText(f.At))))
		}
	}
	if len(rest) > 0 {
		b.Addf("<details><summary>%s</summary>\n\n%s\n</details>\n", plural(len(rest), "other finding"), safe.Join(rest[:min(rows, len(rest))], "")+markdownMore(len(rest), rows))
	}
}

// mermaid draws the way of the traction current, changed parts and conductors
// marked; "" where nothing on it changed.
func mermaid(p report.Pair) safe.Markdown {
	edited := map[string]bool{}
	for _, e := range p.Edits {
		edited[e.Entity] = true
	}
	touched := false
	var b safe.Builder[safe.Markdown]
	b.Add("flowchart LR\n")
	drawn := map[safe.Markdown]bool{}
	for _, path := range p.Paths {
		for i, hop := range path {
			if i == 0 {
				continue
			}
			from, label := path[i-1].Part, safe.Label(hop.Conductor)
			if edited[hop.Conductor] {
				label = "✎ " + label
			}
			line := safe.Markdownf("  %s[\"%s\"] -- \"%s\" --> %s[\"%s\"]\n", safe.Node(from), safe.Label(from), label, safe.Node(hop.Part), safe.Label(hop.Part))
			if !drawn[line] {
				drawn[line] = true
				b.Add(line)
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
				b.Addf("  class %s edited\n", safe.Node(hop.Part))
			}
		}
	}
	b.Add("  classDef edited stroke-width:4px,stroke-dasharray:6 3\n")
	return b.Text()
}
