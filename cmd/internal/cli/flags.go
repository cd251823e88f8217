package cli

import (
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/output"
	"example.org/headroom/cmd/internal/report"
	"example.org/headroom/cmd/internal/suggest"
)

// choice is a flag that takes one of a few words.
type choice struct {
	value   string
	allowed []string
}

var _ pflag.Value = (*choice)(nil)

func (c *choice) String() string { return c.value }
func (c *choice) Type() string   { return strings.Join(c.allowed, "|") }

func (c *choice) Set(s string) error {
	if !slices.Contains(c.allowed, s) {
		return fmt.Errorf("expected one of %s, found %q%s", strings.Join(c.allowed, ", "), s, suggest.DidYouMean(s, c.allowed))
	}
	c.value = s
	return nil
}

// destination is one --out: a format, and the file that it goes to; "" means
// standard output.
type destination[R any] struct {
	format output.Format[R]
	file   string
}

// destinations is the flag --out, which may repeat, over the formats of a kind
// of report.
type destinations[R any] struct {
	formats []output.Format[R]
	list    []destination[R]
}

var _ pflag.Value = (*destinations[any])(nil)

func (d *destinations[R]) String() string { return "" }
func (d *destinations[R]) Type() string   { return "FORMAT[=FILE]" }

func (d *destinations[R]) Set(s string) error {
	name, file, toFile := strings.Cut(s, "=")
	if toFile && file == "" {
		return fmt.Errorf("expected a file name after %q", name+"=")
	}
	format, ok := output.Find(d.formats, name)
	if !ok {
		return fmt.Errorf("unknown format %q; this version writes %s%s",
			name, strings.Join(output.Names(d.formats), ", "), suggest.DidYouMean(name, output.Names(d.formats)))
	}
	if file == "-" {
		file = ""
	}
	for _, other := range d.list {
		switch {
		case other.file == "" && file == "":
			return fmt.Errorf("only one format can go to standard output; give %s a file: %s=FILE", name, name)
		case other.file != "" && file != "" && filepath.Clean(other.file) == filepath.Clean(file):
			return fmt.Errorf("two outputs go to the file %q", file)
		}
	}
	d.list = append(d.list, destination[R]{format, file})
	return nil
}

// onlyText reports whether text on standard output is all that is written, so that no
// file can fail beside it.
func (d *destinations[R]) onlyText() bool {
	list := d.listed()
	return len(list) == 1 && list[0].file == "" && list[0].format.Name == "text"
}

// reads is what the writers read of the results.
func (d *destinations[R]) reads() (reading report.Reading) {
	for _, one := range d.listed() {
		reading = reading.Both(one.format.Reads)
	}
	return reading
}

// listed are the destinations, of which one is standard output where none is named.
func (d *destinations[R]) listed() []destination[R] {
	if len(d.list) == 0 {
		return []destination[R]{{format: d.formats[0]}}
	}
	return d.list
}

// outHelp lists the formats from the table of writers.
func outHelp[R any](formats []output.Format[R]) string {
	var parts []string
	for _, f := range formats {
		parts = append(parts, f.Name+" ("+f.About+")")
	}
	return "write the report as `FORMAT[=FILE]`: " + strings.Join(parts, ", ") +
		"; may repeat; all files are written or none, and what a killed run left is repaired by the next (default text to standard output)"
}

// date is a flag that takes a day.
type date struct{ day *time.Time }

var _ pflag.Value = date{}

func (d date) String() string { return "" }
func (d date) Type() string   { return "date" }

func (d date) Set(s string) error {
	day, err := time.Parse(time.DateOnly, s)
	if err != nil || day.IsZero() {
		return fmt.Errorf("expected a day, written year-month-day such as 2027-03-31, found %q", s)
	}
	*d.day = day
	return nil
}

// todayFlag adds the flag that sets the date on which waivers are applied.
func (c *Command) todayFlag(flags *pflag.FlagSet) {
	flags.Var(date{&c.Today}, "today", "apply waivers as on this `date`, such as 2027-03-31 (default today, UTC)")
}

// category is a flag that takes the name of a fleet among those of a repository.
type category struct{ value string }

var _ pflag.Value = (*category)(nil)

const categoryHelp = "in SARIF, a `name` that distinguishes the results of this fleet from those of another"

func (c *category) String() string { return c.value }
func (c *category) Type() string   { return "name" }

func (c *category) Set(s string) error {
	if !regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]*$`).MatchString(s) {
		return fmt.Errorf("expected letters, digits, dots, hyphens and underscores, found %q", s)
	}
	c.value = s
	return nil
}

// stdinName is a flag that takes the name of what has none.
type stdinName struct{ value *string }

var _ pflag.Value = stdinName{}

func (n stdinName) String() string { return "" }
func (n stdinName) Type() string   { return "name" }

func (n stdinName) Set(s string) error {
	if most := 255; len(s) > most {
		return fmt.Errorf("expected a name of at most %d bytes, found %d", most, len(s))
	}
	*n.value = s
	return nil
}

func stdinNameFlag(flags *pflag.FlagSet, name *string) {
	flags.Var(stdinName{name}, "stdin-name", "the `name` to give to the specification on standard input")
}
