package cli

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The README's first specification is the file that it names, word for word.
func TestReadmeShowsTheFirstSpecification(t *testing.T) {
	readme := readFile(t, "../../../README.md")
	_, rest, ok := strings.Cut(readme, "```yaml\n")
	shown, _, closed := strings.Cut(rest, "```\n")
	if !ok || !closed {
		t.Fatal("README.md has no yaml block")
	}
	if shown != readFile(t, "../../../testdata/first/first.yaml") {
		t.Error("the yaml block of README.md differs from testdata/first/first.yaml")
	}
}

// Every headroom command that the README shows exists.
func TestReadmeCommandsExist(t *testing.T) {
	var names []string
	for _, c := range commands() {
		names = append(names, c.name)
	}
	for _, m := range regexp.MustCompile(`(?m)headroom(?: |\x60 )([a-z]+)`).FindAllStringSubmatch(readFile(t, "../../../README.md"), -1) {
		if word := m[1]; slices.Contains([]string{"check", "ratings", "explain", "rules", "schema", "init", "version", "diff", "report", "blame"}, word) && !slices.Contains(names, word) {
			t.Errorf("README.md shows headroom %s, which does not exist", word)
		}
	}
}

func readFile(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
