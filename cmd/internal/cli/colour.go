package cli

import (
	"os"

	"golang.org/x/term"
)

// colour adds the flag --color and returns what decides on colour for
// standard output once it is parsed.
func newColour() *choice {
	return &choice{value: "auto", allowed: []string{"auto", "always", "never"}}
}

// useColour reports whether text on standard output is coloured: as the flag
// says; else only on a terminal that can and whose owner did not say no
// (NO_COLOR, see no-color.org).
func (c *Command) useColour(flag string) bool {
	switch flag {
	case "always":
		return true
	case "never":
		return false
	}
	if c.Getenv("NO_COLOR") != "" || c.Getenv("TERM") == "dumb" {
		return false
	}
	f, ok := c.Stdout.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
