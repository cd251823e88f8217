package output

import (
	"io"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
)

// HistoryText writes the commits that moved a check for people, newest first:
// for each a line with its date, hash and message, then what it did and which
// edits did it.
func HistoryText(w io.Writer, h *report.History, o Options) error {
	t := historyText{textWriter{printer: newPrinter(w, o), paint: palette{on: o.Colour}}, h}
	t.print(t.paint.bold(safe.Linef("%s: %s", h.Rule, h.Subject)), safe.Linef(" of %s (%s), in %s: %s\n", h.Name, h.Path, h.From, standing(h.Now)))
	for _, c := range h.Commits {
		t.commit(c)
	}
	switch h.End {
	case report.AtShallow:
		t.printf("The history ends here because this clone is shallow; %s\n", h.Remedy)
	case report.AtLimit:
		t.print("Older commits are not listed (--limit).\n")
	}
	return t.err
}

type historyText struct {
	textWriter
	h *report.History
}

// hanging is the width of a percentage and the blanks round it, so that what
// follows stands in one column.
const hanging safe.Line = "            "

func (t *historyText) commit(c report.Commit) {
	t.print(safe.Plain(c.Date), "  ", t.paint.bold(safe.Plain(c.Short())), "  ", safe.Plain(c.Message), "\n")
	against := ""
	if c.Against != "" {
		against = " (against " + report.ShortHash(c.Against) + "; what is between does not load)"
	}
	switch c.State {
	case report.Moved:
		t.moved(c, against)
	case report.Began:
		t.printf(hanging+"%s is new%s: %s\n", c.What, against, standing(c.Result))
	case report.Ended:
		t.printf(hanging+"%s is gone%s; it was %s\n", c.What, against, standing(c.Result))
	case report.Unloadable:
		t.printf(hanging+"the vehicle does not load: %s\n", c.Why)
	case report.Oldest:
		t.printf(hanging+"the oldest commit here: %s\n", standing(c.Result))
	}
	if c.OldPath != "" {
		t.printf(hanging+"%s was %s before\n", c.Path, c.OldPath)
	}
}

func (t *historyText) moved(c report.Commit, against string) {
	m := c.Move
	line := safe.Linef("  %8s  %s", percentOf(m), change(m))
	if m.New.Mode != "" {
		line += ", " + safe.Plain(m.New.Mode)
	}
	if m.New.Verdict == rules.Failed && m.Old.Verdict != rules.Failed {
		line = t.paint.wrap(safe.Red, line)
	}
	t.print(line, safe.Plain(against), "\n")
	if c.TooMany {
		t.printf(hanging+"%s, too many to tell the effect of each; among the inputs of the check:\n", plural(len(c.Edits), "edit"))
		for i, e := range c.Inputs {
			if i == manyShares {
				t.printf(hanging+"  %d more\n", len(c.Inputs)-manyShares)
				break
			}
			t.print(hanging, "  ", safe.Plain(e.String()), t.paint.faint("  "+editedAt(e)), "\n")
		}
		return
	}
	for _, s := range m.Cause.Shares {
		t.share(s, c)
	}
	if len(m.Cause.Shares) > 1 && m.Cause.Interact {
		t.print(hanging, "they interact: the effect of one depends on the others\n")
	}
}

// share writes one change that moved the check: its edits that stand in the
// working, or else those that reach it through other parts.
func (t *historyText) share(s report.Share, c report.Commit) {
	edits, lead := direct(s.Change.Edits, c.Inputs), ""
	if len(edits) == 0 {
		edits, lead = s.Change.Edits, "through other parts: "
	}
	what := effect(s, c.Move.Factor)
	if len(c.Move.Cause.Shares) == 1 || what == "" {
		what = "" // the line above says it
	} else {
		what = ": " + what
	}
	if len(edits) == 1 {
		t.print(hanging, safe.Linef("%s%s%s", lead, edits[0], what), t.paint.faint("  "+editedAt(edits[0])), "\n")
		return
	}
	named := report.Change{Edits: edits}.String()
	t.printf(hanging+"%s%s%s\n", lead, named, what)
}

// direct picks the edits that are among the inputs of a check.
func direct(edits, inputs []report.Edit) (out []report.Edit) {
	for _, e := range edits {
		if slices.ContainsFunc(inputs, func(i report.Edit) bool { return i.Path == e.Path }) {
			out = append(out, e)
		}
	}
	return out
}

// editedAt is where an edit is: in the new revision, or in the old one where it
// is gone from there.
func editedAt(e report.Edit) safe.Line {
	at := e.NewAt
	if at.File == "" {
		at = e.OldAt
	}
	text := where(at)
	if e.Shared {
		text += " (shared)"
	}
	return text
}

// standing is the headroom or the verdict of a check.
func standing(r rules.Result) string {
	switch {
	case r.Verdict.Unmade():
		return unmadeWord(r) + ": needs " + r.Missing
	case !report.HasHeadroom(r):
		return string(r.Verdict)
	}
	text := report.Against(r)
	if r.Verdict == rules.Failed {
		text += ", fails"
	}
	return text
}

// HistorySummary writes a history in one line.
func HistorySummary(w io.Writer, h *report.History) error {
	threshold := strings.TrimSpace(report.Number(h.Threshold*100, 3)) + " %"
	return safe.Printf(safe.Stream(w, safe.Text), "%s: %s examined, %d moved %s of %s by more than %s or changed its verdict\n",
		h.From, plural(h.Looked, "commit"), h.CountMoved(), h.Rule, h.Subject, threshold)
}
