package output

import (
	"fmt"
	"io"
	"strings"

	"example.org/headroom/cmd/internal/report"
)

// Summary writes the run in one line:
//
//	3 vehicles, 214 checks: 198 passed, 4 errors, 1 warning, 2 notes, 9 not checked (list them with -v)
func Summary(w io.Writer, r *report.Report) error {
	c := r.Count()
	parts := []string{
		fmt.Sprintf("%d passed", c.Passes),
		plural(c.Errors, "error"),
		plural(c.Warnings, "warning"),
		plural(c.Notes, "note"),
	}
	if c.Follow > 0 {
		parts[3] += " (" + plural(c.Follow, "of these follows", "of these follow") + " from another finding)"
	}
	if c.Waived > 0 {
		parts = append(parts, fmt.Sprintf("%d waived", c.Waived))
	}
	if c.NotChecked > 0 {
		text := fmt.Sprintf("%d not checked", c.NotChecked)
		if !r.Verbose {
			text += " (list them with -v)"
		}
		parts = append(parts, text)
	}
	if n := len(r.RunErrors()); n > 0 {
		parts = append(parts, plural(n, "part of the run", "parts of the run")+" could not be done")
	}
	_, err := fmt.Fprintf(w, "%s, %s: %s\n", plural(c.Vehicles, "vehicle"), plural(c.Checks, "check"), strings.Join(parts, ", "))
	return err
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
