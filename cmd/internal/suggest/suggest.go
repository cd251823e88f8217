// Package suggest finds the word that a person most likely meant.
package suggest

import (
	"strings"

	"example.org/headroom/schema"
)

// Nearest returns the candidate nearest to word by edit distance, and whether
// one is near enough to be worth naming: at most a third of its letters wrong,
// or one of the two is the beginning of the other. Case does not count. Of
// equally near candidates the first wins.
func Nearest(word string, candidates []string) (string, bool) {
	best, bestDistance := "", -1
	w := strings.ToLower(word)
	for _, c := range candidates {
		d := schema.Distance(w, strings.ToLower(c))
		if bestDistance < 0 || d < bestDistance {
			best, bestDistance = c, d
		}
	}
	if bestDistance >= 0 && bestDistance <= max(1, len(best)/3) {
		return best, true
	}
	for _, c := range candidates {
		if l := strings.ToLower(c); len(w) >= 3 && (strings.HasPrefix(l, w) || strings.HasPrefix(w, l)) {
			return c, true
		}
	}
	return "", false
}

// DidYouMean returns ` (did you mean "x"?)` for the nearest candidate, or "".
func DidYouMean(word string, candidates []string) string {
	if c, ok := Nearest(word, candidates); ok {
		return ` (did you mean "` + c + `"?)`
	}
	return ""
}
