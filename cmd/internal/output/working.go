package output

import (
	"io"
	"strings"
	"unicode/utf8"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// workingDigits is how many significant digits a working shows: enough to
// follow it with a pocket calculator to the last digit that is printed of a
// finding.
const workingDigits = 5

// Working writes a result as a person would work it out on paper: every step
// with its symbol, formula, numbers, value and origin, then the comparison.
func Working(w io.Writer, v *report.Vehicle, res rules.Result, o Options) error {
	t := textWriter{printer: printer{w: w}, paint: palette{on: o.Colour}}
	t.print(t.paint.bold(res.Rule), ": ", report.Plain(res.Subject), " of ", report.Plain(v.Name))
	if at := where(res.At); at != "" {
		t.print(" (", at, ")")
	}
	t.print("\n")
	if res.Message != "" {
		t.print("  ", report.Plain(report.Sentence(res.Message)), "\n")
	}
	for _, pair := range [][2]string{{"mode", res.Mode}, {"corner", res.Corner}} {
		if pair[1] != "" {
			t.print("  ", pair[0], ": ", report.Plain(pair[1]), "\n")
		}
	}
	if len(res.Working) > 0 {
		t.print("\n")
		t.steps(res.Working)
	}
	t.print("\n")
	t.outcome(res)
	return t.err
}

// steps writes the chain of numbers, symbols aligned.
func (t *textWriter) steps(steps []rules.Step) {
	width := 0
	for _, s := range steps {
		width = max(width, utf8.RuneCountInString(s.Symbol))
	}
	indent := strings.Repeat(" ", width)
	for _, s := range steps {
		lead := report.Plain(s.Symbol) + strings.Repeat(" ", width-utf8.RuneCountInString(s.Symbol))
		for _, line := range []string{s.Formula, s.Numbers} {
			if line != "" {
				t.print("  ", lead, " = ", report.Plain(line), "\n")
				lead = indent
			}
		}
		t.print("  ", lead, " = ", t.paint.bold(stepValue(s)))
		t.print("   ", report.Plain(s.What))
		if from := origin(s.Origin); from != "" {
			t.print(t.paint.faint("   [" + from + "]"))
		}
		t.print("\n")
	}
}

func stepValue(s rules.Step) string {
	switch {
	case s.Text != "":
		return report.Plain(s.Text)
	case s.Unit == "":
		return report.Number(s.Value, workingDigits)
	}
	return report.Number(s.Value, workingDigits) + " " + s.Unit
}

// origin says where a number came from; what follows from the steps above it
// needs no word.
func origin(o rules.Origin) string {
	at := where(o.At)
	switch o.Kind {
	case rules.FromSpec:
		return strings.TrimSpace(report.Plain(o.Path) + " " + at)
	case rules.FromDefault:
		return "default: " + report.Plain(o.Ref)
	case rules.FromStandard:
		return report.Plain(o.Ref)
	case rules.FromRun:
		return report.Plain(o.Ref)
	case rules.FromResult:
		return "result: " + report.Plain(o.Ref)
	case rules.FromCircuit:
		return "solved circuit: " + report.Plain(o.Ref)
	}
	return ""
}

// outcome writes the comparison and the verdict.
func (t *textWriter) outcome(res rules.Result) {
	if res.Verdict.Unmade() {
		t.print("  ", unmadeWord(res), ": needs ", report.Plain(res.Missing), "\n")
		return
	}
	if report.HasHeadroom(res) {
		t.print("  demand      ", report.Quantity(res.Demand), "\n")
		t.print("  capability  ", report.Quantity(res.Capability), "\n")
		t.print("  headroom    ", report.Ratio(res.Headroom), "\n")
		t.print("  required    ", report.Requirement(res.Required), "\n")
	}
	t.print("  verdict     ", string(res.Verdict))
	if res.IsFinding() {
		t.print(" (", t.paint.level(res.Level), ")")
	}
	t.print("\n")
	if res.IsFinding() && res.Fix != "" {
		t.print("  fix         ", report.Plain(res.Fix), "\n")
	}
	if res.Verdict == rules.AsDeclared {
		t.print("  believes    ", report.Plain(report.Believed(res)), "\n")
	}
	t.acceptance("              ", res.Waiver)
	for _, place := range res.Related {
		t.print("  see         ", where(place.Position), ": ", report.Plain(place.Note), "\n")
	}
}
