// Package suggest finds the word that a person most likely meant.
package suggest

import "strings"

// Nearest returns the candidate nearest to word by edit distance, and whether
// one is near enough to be worth naming: at most a third of its letters wrong,
// or one of the two is the beginning of the other. Case does not count. Of
// equally near candidates the first wins.
func Nearest(word string, candidates []string) (string, bool) {
	best, bestDistance := "", -1
	w := strings.ToLower(word)
	for _, c := range candidates {
		d := distance(w, strings.ToLower(c))
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

// distance is the optimal string alignment distance: the least number of
// letters to insert, delete, replace or swap with their neighbour. Ids,
// commands and flags are ASCII, so bytes are letters.
func distance(a, b string) int {
	before, above, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range above {
		above[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(above[j]+1, row[j-1]+1, above[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, above, row = above, row, before
	}
	return above[len(b)]
}
