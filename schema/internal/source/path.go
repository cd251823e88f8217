package source

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

var plainName = regexp.MustCompile(`^[A-Za-z0-9_#][-A-Za-z0-9_]*$`)

// PathElement renders a name in a path, in quotation marks if it needs them.
func PathElement(name string) string {
	if plainName.MatchString(name) {
		return name
	}
	return strconv.Quote(name)
}

// SplitPath cuts a path into its elements.
func SplitPath(path string) []string {
	if path == "" {
		return nil
	}
	return strings.Split(path, ".")
}

// Join is the path of a name below a path.
func Join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// Quote puts a text in quotation marks.
func Quote(s string) string { return fmt.Sprintf("%q", s) }
