package schema

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

var plainName = regexp.MustCompile(`^[A-Za-z0-9_#][-A-Za-z0-9_]*$`)

// pathElement renders a name in a path, in quotation marks if it needs them.
func pathElement(name string) string {
	if plainName.MatchString(name) {
		return name
	}
	return strconv.Quote(name)
}

// splitPath cuts a path into its elements.
func splitPath(path string) []string {
	if path == "" {
		return nil
	}
	return strings.Split(path, ".")
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func quote(s string) string { return fmt.Sprintf("%q", s) }
