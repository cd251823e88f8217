package output

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
	"example.org/headroom/schema"
)

// DiffText writes a comparison for people. Each vehicle that differs has up to
// three sections: ratings changed, headroom that moved, findings. One that does
// not differ has none.
func DiffText(w io.Writer, d *report.Difference, o Options) error {
	t := diffText{textWriter{printer: newPrinter(w, o), paint: palette{on: o.Colour}, since: d.Old}, d}
	first := true
	for _, p := range d.Pairs {
		if p.State == report.Same {
			continue
		}
		if !first {
			t.print("\n")
		}
		first = false
		t.pair(p)
	}
	return t.err
}

type diffText struct {
	textWriter
	d *report.Difference
}

func (t *diffText) pair(p report.Pair) {
	t.print(t.paint.bold(where(schema.Position{File: p.Path})+": "+safe.Plain(p.Name)), ": ", safe.Plain(stateOf(p, t.d)), "\n")
	if text := draftOf(p); text != "" {
		t.print("  ", t.paint.wrap(safe.Warn, safe.Plain(text)), "\n")
	}
	if p.Comparison == nil {
		return
	}
	t.edits(p)
	t.moves(p)
	t.findings(p)
}

// draftOf says that a vehicle is a draft in the new revision; "" if it is not.
func draftOf(p report.Pair) string {
	if p.Vehicle == nil {
		return ""
	}
	return p.Vehicle.Count().DraftText()
}

// stateOf says what became of a vehicle.
func stateOf(p report.Pair, d *report.Difference) string {
	switch p.State {
	case report.Appeared:
		return "new in " + d.New
	case report.Gone:
		return "gone; it was in " + d.Old
	case report.Hidden:
		return p.Why
	case report.Renamed:
		return "was " + p.OldPath + " in " + d.Old
	case report.Unreadable:
		return "in " + d.Old + " " + p.Why + "; all its findings count as new"
	}
	return string(p.State)
}

func (t *diffText) edits(p report.Pair) {
	if len(p.Edits) == 0 {
		return
	}
	t.print("  ratings changed\n")
	for _, e := range p.Edits {
		at := e.NewAt
		if at.File == "" {
			at = e.OldAt
		}
		t.print("    ", safe.Plain(e.String()), t.paint.faint("  "+where(at)))
		if e.Shared {
			t.print(t.paint.faint(" (shared)"))
		}
		t.print("\n")
	}
}

func (t *diffText) moves(p report.Pair) {
	if len(p.Moves) == 0 {
		return
	}
	t.print("  headroom\n")
	ample := 0
	for _, m := range p.Moves {
		if !t.d.All && isAmple(m) {
			ample++
			continue
		}
		line := safe.Linef("    %8s  %s  %s %s", percentOf(m), change(m), latest(m).Rule, latest(m).Subject)
		if mode := latest(m).Mode; mode != "" {
			line += ", " + safe.Plain(mode)
		}
		if m.New.Verdict == rules.Failed && m.Old.Verdict != rules.Failed {
			line = t.paint.wrap(safe.Red, line)
		}
		t.print(line, "\n")
		if cause := causeText(m.Cause, m.Factor, p.Comparison); cause != "" {
			t.print(t.paint.faint("              "+safe.Plain(cause)), "\n")
		}
	}
	if ample > 0 {
		t.printf("    %s above twice the required headroom (list with --all)\n", plural(ample, "more stays", "more stay"))
	}
}

// isAmple reports whether a check keeps more than twice what it requires, before
// and after: how much it moved is then of little interest.
func isAmple(m report.Move) bool {
	const twice = 2
	ample := func(r rules.Result) bool { return r.Required > 0 && r.Headroom > twice*r.Required }
	return m.Old.Verdict == m.New.Verdict && ample(m.Old) && ample(m.New)
}

// latest is the newer result of a move.
func latest(m report.Move) rules.Result {
	if m.New.Rule != "" {
		return m.New
	}
	return m.Old
}

// percentOf is how much of a headroom was won or lost.
func percentOf(m report.Move) string {
	if m.Factor == 0 {
		return ""
	}
	return percent(m.Factor)
}

// percent renders a factor as a gain or loss: 0.82 is "-18 %".
func percent(factor float64) string {
	p := 100 * (factor - 1)
	switch {
	case factor >= 1e3:
		return ">+99900 %"
	case p > -1 && p < 1:
		return fmt.Sprintf("%+.1f %%", p)
	}
	return fmt.Sprintf("%+.0f %%", p)
}

// change is the headroom or the verdict before and after.
func change(m report.Move) string {
	now := ""
	switch {
	case m.Old.Verdict != rules.Failed && m.New.Verdict == rules.Failed:
		now = "now fails"
	case m.Old.Verdict == rules.Failed && m.New.Verdict.Passes():
		now = "now passes"
	case m.Old.Verdict == rules.Passed && m.New.Verdict == rules.AsDeclared:
		now = "passes only as declared"
	}
	switch old := headroomOrVerdict(m.Old); {
	case report.HasHeadroom(m.New):
		return strings.TrimSuffix(old+" -> "+report.Against(m.New)+", "+now, ", ")
	case now != "" && !m.Old.Verdict.Unmade() && !report.HasHeadroom(m.Old):
		return now
	default:
		return old + " -> " + headroomOrVerdict(m.New)
	}
}

// headroomOrVerdict is what a result has to show for itself in a comparison.
func headroomOrVerdict(r rules.Result) string {
	switch {
	case r.Verdict == rules.CannotVouch:
		return "nobody can vouch for it"
	case r.Verdict == rules.NotChecked:
		return "not checked"
	case report.HasHeadroom(r):
		return report.Ratio(r.Headroom)
	}
	return string(r.Verdict)
}

// manyShares is how many causes of one move are named.
const manyShares = 4

// causeText names the changes that moved a check, the greatest first.
func causeText(c report.Cause, whole float64, of *report.Comparison) string {
	if of.TooMany {
		return fmt.Sprintf("too many changes (%d) to tell which one caused it", len(of.Changes))
	}
	if len(c.Shares) == 0 {
		return ""
	}
	var parts []string
	for i, s := range c.Shares {
		if i == manyShares {
			parts = append(parts, fmt.Sprintf("%d more", len(c.Shares)-manyShares))
			break
		}
		parts = append(parts, strings.TrimSuffix(s.Change.String()+": "+effect(s, whole), ": "))
	}
	text := strings.Join(parts, "; ")
	if len(c.Shares) > 1 && whole > 0 {
		text += "; together " + percent(whole)
	}
	if c.Interact {
		text += " (they interact)"
	}
	return text
}

// effect is what one change does to a headroom. A yes or a no has no percent.
func effect(s report.Share, whole float64) string {
	switch {
	case whole == 0:
		return ""
	case s.Last == 0 && s.Factor == 0:
		return "only together with the others"
	case s.Last == 0:
		return percent(s.Factor)
	case s.Factor == 0:
		return percent(s.Last) + " on top of the others"
	}
	alone := percent(s.Factor)
	if strings.HasSuffix(alone, "0.0 %") {
		alone = "nothing"
	}
	return alone + " alone, " + percent(s.Last) + " on top of the others"
}

// stateOrder is the order in which findings are shown.
// stateWord is a state as a reader is told it.
func stateWord(s report.State) string {
	if s == report.Standing {
		return "unchanged"
	}
	return string(s)
}

func stateOrder() []report.State {
	return []report.State{report.New, report.Worse, report.Fixed, report.Standing, report.Waived}
}

func (t *diffText) findings(p report.Pair) {
	if len(p.Findings) == 0 {
		return
	}
	t.print("  findings\n")
	quiet := 0 // notes that neither came nor went
	for _, state := range stateOrder() {
		for _, f := range p.Findings {
			switch {
			case f.State != state:
				continue
			case state == report.Standing && f.Level == rules.Note:
				quiet++
				continue
			}
			if follows(f, p.Findings) {
				t.printf("    %s, consequence: ", stateWord(state))
				t.line(f.Result)
				continue
			}
			t.printf("    %s: ", stateWord(state))
			t.line(f.Result)
			if state != report.New && state != report.Worse {
				continue
			}
			if numbers := report.Numbers(f.Result); numbers != "" {
				t.printf("        %s\n", numbers)
			}
			if cause := causeText(f.Cause, 0, p.Comparison); cause != "" {
				t.printf("        cause: %s\n", cause)
			}
			if f.Fix != "" {
				t.printf("        fix: %s\n", f.Fix)
			}
		}
	}
	if quiet > 0 {
		t.printf("    %s: %s\n", stateWord(report.Standing), plural(quiet, "note"))
	}
}

// follows reports whether a finding follows from another one that is there too.
func follows(f report.Compared, all []report.Compared) bool {
	return f.Primary != "" && slices.ContainsFunc(all, func(other report.Compared) bool {
		return other.Key() == f.Primary && other.State != report.Fixed && other.State != report.Waived
	})
}

// DiffSummary writes the comparison in one line.
func DiffSummary(w io.Writer, d *report.Difference) error {
	vehicles := map[report.PairState]int{}
	edits, moved := 0, 0
	for _, p := range d.Pairs {
		vehicles[p.State]++
		if p.Comparison != nil {
			edits += len(p.Edits)
			moved += len(p.Moves)
		}
	}
	var parts []string
	for _, s := range []report.PairState{report.Changed, report.Renamed, report.Appeared, report.Gone, report.Hidden, report.Unreadable, report.Same} {
		if n := vehicles[s]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, s))
		}
	}
	all := plural(len(d.Pairs), "vehicle")
	if len(parts) > 0 {
		all += " (" + strings.Join(parts, ", ") + ")"
	}
	counts := d.CountStates()
	var states []string
	for _, s := range stateOrder() {
		if n := counts[s]; n > 0 || s == report.New {
			states = append(states, fmt.Sprintf("%d %s", n, stateWord(s)))
		}
	}
	text := fmt.Sprintf("%s to %s: %s; %s, %s moved; findings: %s", d.Old, d.New,
		all, plural(edits, "edit"), plural(moved, "headroom"), strings.Join(states, ", "))
	c := d.Count()
	if v := vouching(c); v != "" {
		text += "; checks: " + v
	}
	if draft := c.DraftText(); draft != "" {
		text = draft + ": " + text
	}
	return safe.Printf(safe.Stream(w, safe.Text), "%s\n", text)
}
