package cli

// newColour is the value of the flag --color.
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
	return c.Terminal && c.Getenv("NO_COLOR") == "" && c.Getenv("TERM") != "dumb"
}
