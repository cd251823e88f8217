package spell

import "strings"

// Closest returns the candidate whose spelling is nearest to a word, or ""
// when none is near. Of equals the first counts.
func Closest(word string, candidates []string) string {
	best, least := "", 1+max(1, len([]rune(word))/3)
	for _, c := range candidates {
		if d := Distance(strings.ToLower(word), strings.ToLower(c)); d < least {
			best, least = c, d
		}
	}
	if best != "" || len(word) < 4 {
		return best
	}
	for _, c := range candidates { // "negative" for "house-negative"
		if strings.Contains(strings.ToLower(c), strings.ToLower(word)) {
			return c
		}
	}
	return ""
}

// ClosestValue is Closest for the values of a field. Values may be opposites
// that look alike ("on-road", "off-road"), so it offers only what a slip of the
// fingers turns into the word.
func ClosestValue(word string, candidates []string) string {
	s := Closest(word, candidates)
	if d := Distance(strings.ToLower(word), strings.ToLower(s)); d > max(1, len([]rune(word))/5) && !strings.Contains(strings.ToLower(s), strings.ToLower(word)) {
		return ""
	}
	return s
}

// Distance counts the insertions, deletions, replacements and swaps of
// neighbours that turn one word into another (optimal string alignment).
func Distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := range s {
		row[0] = i + 1
		for j := range t {
			cost := 1
			if s[i] == t[j] {
				cost = 0
			}
			row[j+1] = min(last[j+1]+1, row[j]+1, last[j]+cost)
			if i > 0 && j > 0 && s[i] == t[j-1] && s[i-1] == t[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}
