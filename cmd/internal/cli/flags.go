package cli

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"example.org/headroom/cmd/internal/output"
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
type destination struct {
	format output.Format
	file   string
}

// destinations is the flag --out, which may repeat.
type destinations []destination

var _ pflag.Value = (*destinations)(nil)

func (d *destinations) String() string { return "" }
func (d *destinations) Type() string   { return "FORMAT[=FILE]" }

func (d *destinations) Set(s string) error {
	name, file, toFile := strings.Cut(s, "=")
	if toFile && file == "" {
		return fmt.Errorf("expected a file name after %q", name+"=")
	}
	format, ok := output.Find(name)
	switch {
	case !ok:
		return fmt.Errorf("unknown format %q; this version writes %s%s",
			name, strings.Join(output.Names(), ", "), suggest.DidYouMean(name, output.Names()))
	case format.Planned:
		return fmt.Errorf("the format %q is not available in this version; it writes %s", name, strings.Join(output.Names(), ", "))
	}
	if file == "-" {
		file = ""
	}
	for _, other := range *d {
		switch {
		case other.file == "" && file == "":
			return fmt.Errorf("only one format can go to standard output; give %s a file: %s=FILE", name, name)
		case other.file != "" && file != "" && filepath.Clean(other.file) == filepath.Clean(file):
			return fmt.Errorf("two outputs go to the file %q", file)
		}
	}
	*d = append(*d, destination{format, file})
	return nil
}

// outHelp lists the formats from the table of writers.
func outHelp() string {
	var parts []string
	for _, f := range output.Formats() {
		if !f.Planned {
			parts = append(parts, f.Name+" ("+f.About+")")
		}
	}
	return "write the report as `FORMAT[=FILE]`: " + strings.Join(parts, ", ") +
		"; may repeat, each file is written whole or not at all (default text to standard output)"
}
