package report

import "strings"

// Sentence ends text with a full stop, if it has no end yet.
func Sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}
