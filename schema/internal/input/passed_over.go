package input

import (
	"fmt"
	"path/filepath"
)

// PassedOver is a file that looks like a specification and is not read, or a
// folder that holds such files.
type PassedOver struct {
	Path  string
	Why   string
	Count int    // how many of a folder's files; 0 for a file
	First string // the first of them
	Cut   bool   // the folder holds more than was looked at
}

// String says it in words, with the path first.
func (p PassedOver) String() string {
	name := filepath.ToSlash(p.Path)
	switch {
	case p.Cut && p.Count == 0:
		return fmt.Sprintf("%s was not searched completely: %s, and it has too many files", name, p.Why)
	case p.Count == 0:
		return fmt.Sprintf("%s is not read: %s", name, p.Why)
	}
	many := fmt.Sprintf("%d files that look like specifications, the first %s, which are", p.Count, filepath.ToSlash(p.First))
	if p.Count == 1 {
		many = "a file that looks like a specification, " + filepath.ToSlash(p.First) + ", which is"
	}
	return fmt.Sprintf("%s has %s not read: %s", name, many, p.Why)
}

// PassedOverBudget is how much of all that is passed over below one path is looked at.
func PassedOverBudget() Budget {
	return Budget{Folders: 20_000, Entries: 200_000, Files: 20_000, Bytes: 32 << 20}
}
