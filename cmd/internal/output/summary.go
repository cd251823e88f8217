package output

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/rules"
)

// Summary writes the run in one line:
//
//	3 vehicles, 214 checks: 196 passed, 2 as declared, 4 errors, 1 warning, 2 notes, 9 not checked (list with -v)
//
// Of what nobody can vouch for it says how many checks that are, and what filling in gains.
func Summary(w io.Writer, r *report.Report) error {
	c := r.Count()
	parts := []string{
		passed(c),
		plural(c.Errors, "error"),
		plural(c.Warnings, "warning"),
		plural(c.Notes, "note"),
	}
	if n := consequences(r); n > 0 {
		parts[3] += " (" + plural(n, "is a consequence", "are consequences") + " of another finding)"
	}
	if c.Standing > 0 {
		parts = append(parts, fmt.Sprintf("%d of the findings already in %s", c.Standing, r.Since))
	}
	if c.Waived > 0 {
		parts = append(parts, fmt.Sprintf("%d waived", c.Waived))
	}
	parts = append(parts, unmade(c)...)
	if c.AsDeclared+c.Waived+c.NotChecked+c.CannotVouch > 0 && !r.Verbose {
		parts[len(parts)-1] += " (list with -v)"
	}
	if n := len(r.RunErrors()); n > 0 {
		parts = append(parts, plural(n, "part of the run", "parts of the run")+" could not be done")
	}
	draft := ""
	if text := c.DraftText(); text != "" {
		draft = text + ": "
	}
	p := newPrinter(w, Options{})
	p.printf("%s%s, %s: %s\n", draft, plural(c.Vehicles, "vehicle"), plural(c.Checks, "check"), strings.Join(parts, ", "))
	if hindered(r) {
		p.print("Correct the mistakes in the specification first: they prevent other checks.\n")
	}
	if text := firstFills(r); text != "" && !hindered(r) && !r.Verbose {
		p.printf("%s\n", text)
	}
	if c.Findings() > fewFindings && c.Errors+c.Warnings > 0 {
		p.printf("Start with %s\n", start(r))
	}
	return p.err
}

// consequences counts the findings that are listed as consequences of another. Notes
// that say the same of several subjects are one finding with more subjects, and none
// of them is a consequence.
func consequences(r *report.Report) (n int) {
	for _, f := range fold(r.Findings(), false) {
		n += len(f.Follow)
	}
	return n
}

// passed says how many checks passed, those that rest on a bare declaration by themselves.
func passed(c report.Counts) string {
	text := fmt.Sprintf("%d passed", c.Passes)
	if c.AsDeclared > 0 {
		text += fmt.Sprintf(", %d as declared", c.AsDeclared)
	}
	return text
}

// unmade says how many checks were not made, those that are vital first.
func unmade(c report.Counts) (parts []string) {
	if c.CannotVouch > 0 {
		parts = append(parts, fmt.Sprintf("%d that nobody can vouch for", c.CannotVouch))
	}
	if c.NotChecked > 0 {
		parts = append(parts, fmt.Sprintf("%d not checked", c.NotChecked))
	}
	return parts
}

// vouching says how many checks pass as declared only, and for how many nobody can vouch;
// "" where all that were made have all their data.
func vouching(c report.Counts) string {
	if c.AsDeclared+c.CannotVouch == 0 {
		return ""
	}
	return strings.Join(append([]string{passed(c)}, unmade(c)...), ", ")
}

// firstFills says what to fill in first where a finding asks for vital data: the rest is
// in the list.
func firstFills(r *report.Report) string {
	var fills []report.Fill
	for i := range r.Vehicles {
		for _, f := range r.Vehicles[i].Fills() {
			if f.Vital {
				fills = append(fills, f)
			}
		}
	}
	gain := report.Gain(fills)
	if gain == "" {
		return ""
	}
	most := slices.MaxFunc(fills, func(a, b report.Fill) int { return cmp.Compare(a.Checks, b.Checks) })
	return upperFirst(gain) + "; most wait for " + most.String()
}

// hindered reports whether mistakes in a specification keep checks from being made.
func hindered(r *report.Report) bool {
	return slices.ContainsFunc(r.Vehicles, func(v report.Vehicle) bool {
		what, _ := r.Hindrance(&v)
		return what != ""
	})
}

// fewFindings are read in one glance; of more a reader is told the first, unless
// all are notes.
const fewFindings = 3

// start names the finding to begin with: the most severe, of equals the one with
// the least headroom.
// What an older revision has too comes after all else.
func start(r *report.Report) string {
	findings := r.Findings()
	if fresh := slices.DeleteFunc(slices.Clone(findings), report.Finding.Stands); len(fresh) > 0 {
		findings = fresh
	}
	worst := slices.MinFunc(findings, func(a, b report.Finding) int {
		return cmp.Or(-cmp.Compare(a.Level.Rank(), b.Level.Rank()), cmp.Compare(urgency(a.Result), urgency(b.Result)))
	})
	text := fmt.Sprintf("%s: %s", whereText(worst.At), worst.Rule)
	if worst.Subject != "" { // a file that cannot be read as a whole has none
		text += " of " + worst.Subject
	}
	if worst.Required > 0 {
		text += fmt.Sprintf(", headroom %s", report.Ratio(worst.Headroom))
	}
	return text
}

// urgency orders findings of one level. What no number measures is wrong in
// itself (a part the wrong way round, no disconnect) and comes first: numbers
// found in such a circuit may mean nothing.
func urgency(res rules.Result) float64 {
	if res.Required <= 0 {
		return 0
	}
	return res.Headroom / res.Required
}

// plural renders a count with its noun; the plural adds an s unless given.
func plural(n int, noun string, many ...string) string {
	switch {
	case n == 1:
		return "1 " + noun
	case len(many) > 0:
		return fmt.Sprintf("%d %s", n, many[0])
	default:
		return fmt.Sprintf("%d %ss", n, noun)
	}
}
