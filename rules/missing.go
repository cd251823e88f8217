package rules

import "fmt"

// Missing says which value of the spec a quantity rests on that the spec does not
// give.
type Missing struct {
	Path string
	What string // what cannot be computed without it
}

func (m *Missing) Error() string { return fmt.Sprintf("needs %s: %s", m.Path, m.What) }
