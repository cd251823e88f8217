package output

import (
	"io"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/safe"
	"example.org/headroom/rules"
)

// workingDigits is how many significant digits a working shows: enough to
// follow it with a pocket calculator to the last digit that is printed of a
// finding.
const workingDigits = 5

// Working writes a result as a person would work it out on paper: every step
// with its symbol, formula, numbers, value and origin, then the comparison.
func Working(w io.Writer, v *report.Vehicle, res rules.Result, o Options) error {
	t := textWriter{printer: newPrinter(w, o), paint: palette{on: o.Colour}}
	t.print(t.paint.bold(safe.Plain(res.Rule)), ": ", safe.Plain(res.Subject), " of ", safe.Plain(v.Name))
	if at := where(res.At); at != "" {
		t.print(" (", at, ")")
	}
	t.print("\n")
	if res.Message != "" {
		t.print("  ", safe.Plain(report.Sentence(res.Message)), "\n")
	}
	for _, pair := range [][2]string{{"mode", res.Mode}, {"corner", res.Corner}} {
		if pair[1] != "" {
			t.printf("  %s: %s\n", pair[0], pair[1])
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
		width = max(width, lineWidth(safe.Plain(s.Symbol)))
	}
	indent := safe.Linef("%*s", width, "")
	for _, s := range steps {
		lead := safe.Linef("%-*s", width, s.Symbol)
		for _, line := range []string{s.Formula, s.Numbers} {
			if line != "" {
				t.print("  ", lead, " = ", safe.Plain(line), "\n")
				lead = indent
			}
		}
		t.print("  ", lead, " = ", t.paint.bold(stepValue(s)))
		t.print("   ", safe.Plain(s.What))
		if from := origin(s.Origin); from != "" {
			t.print(t.paint.faint("   [" + from + "]"))
		}
		t.print("\n")
	}
}

func stepValue(s rules.Step) safe.Line {
	switch {
	case s.Text != "":
		return safe.Plain(s.Text)
	case s.Unit == "":
		return safe.Plain(report.Number(s.Value, workingDigits))
	}
	return safe.Linef("%s %s", report.Number(s.Value, workingDigits), s.Unit)
}

// origin says where a number came from; what follows from the steps above it
// needs no word.
func origin(o rules.Origin) safe.Line {
	at := where(o.At)
	switch o.Kind {
	case rules.FromSpec:
		if at == "" {
			return safe.Plain(o.Path)
		}
		return safe.Plain(o.Path) + " " + at
	case rules.FromDefault:
		return "default: " + safe.Plain(o.Ref)
	case rules.FromStandard:
		return safe.Plain(o.Ref)
	case rules.FromRun:
		return safe.Plain(o.Ref)
	case rules.FromResult:
		return "result: " + safe.Plain(o.Ref)
	case rules.FromCircuit:
		return "solved circuit: " + safe.Plain(o.Ref)
	}
	return ""
}

// outcome writes the comparison and the verdict.
func (t *textWriter) outcome(res rules.Result) {
	if res.Verdict.Unmade() {
		t.printf("  %s: needs %s\n", unmadeWord(res), res.Missing)
		return
	}
	if report.HasHeadroom(res) {
		t.printf("  demand      %s\n", report.Quantity(res.Demand))
		t.printf("  capability  %s\n", report.Quantity(res.Capability))
		t.printf("  headroom    %s\n", report.Ratio(res.Headroom))
		t.printf("  required    %s\n", report.Requirement(res.Required))
	}
	t.printf("  verdict     %s", res.Verdict)
	if res.IsFinding() {
		t.print(" (", t.paint.level(res.Level), ")")
	}
	t.print("\n")
	if res.IsFinding() && res.Fix != "" {
		t.print("  fix         ", safe.Plain(res.Fix), "\n")
	}
	if res.Verdict == rules.AsDeclared {
		t.print("  believes    ", safe.Plain(report.Believed(res)), "\n")
	}
	t.acceptance("              ", res.Waiver)
	for _, place := range res.Related {
		t.print("  see         ", where(place.Position), ": ", safe.Plain(place.Note), "\n")
	}
}
